package commands

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log"
	"net"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/serve"
	across "vouchmark/label/overview"
)

// mostCertificate is the most bytes of a certificate, and of its key.
const mostCertificate = infile.MiB

// Limits are those of what the commands are given.
func Limits() []infile.Limit {
	return []infile.Limit{{What: "a certificate, its key", Most: infile.Size(mostCertificate)},
		{What: "a list of places", Most: infile.Size(mostPlaces)},
		{What: "the start of a published `site.json`, up to the end of its summary", Most: infile.Size(across.MostRead)}}
}

// serving holds the flags of serve.
type serving struct {
	addr, stock, passphrase, cert, key string
	hosts                              []string
	writes, forwarded                  bool
	signing                            signing
}

// Serve is the command of that name.
func Serve(fs *pflag.FlagSet) func(*Env, []string) error {
	var s serving
	fs.StringVar(&s.addr, "addr", "127.0.0.1:8484", "`ADDRESS` address and port to listen on; port 0 picks a free one")
	fs.StringArrayVar(&s.hosts, "host", nil, "`HOST` another host name by which browsers reach the server; repeatable")
	fs.StringVar(&s.stock, "stock", "", "`STOCK` the label stock to draw on the pages (default: the first [[stock]], else 4x4)")
	fs.BoolVar(&s.writes, "allow-writes", false, "offer the forms that print labels, note what was mounted, and log changes; and the archive")
	fs.BoolVar(&s.forwarded, "forwarded", false,
		"all requests come through a server in front, which adds the client's address as the last one of X-Forwarded-For")
	fs.StringVar(&s.passphrase, "passphrase-file", "",
		"`FILE` a file with the passphrase for the forms in its first line; this or --people is required with --allow-writes when others can reach the server")
	s.signing.flags(fs)
	fs.StringVar(&s.cert, "tls-cert", "", "`FILE` the server's certificate, for HTTPS (PEM)")
	fs.StringVar(&s.key, "tls-key", "", "`FILE` the certificate's private key (PEM)")
	return func(e *Env, _ []string) error {
		at, err := net.ResolveTCPAddr("tcp", s.addr)
		if err != nil {
			return &usageError{text: "--addr: " + err.Error() + "; expected an address and a port, such as 127.0.0.1:8484"}
		}
		certificate, err := s.certificate()
		if err != nil {
			return err
		}
		word, err := s.word(e, at, certificate != nil)
		if err != nil {
			return err
		}
		who, err := s.people(e, at, certificate != nil)
		if err != nil {
			return err
		}
		errs := log.New(e.Stderr, "vouchmark: ", 0)
		shown := s.site(e, word, errs)
		shown.People = who
		handler := serve.New(shown)
		book, err := handler.Read() // what is wrong from the beginning is said here
		if err != nil {
			return err
		}
		e.progress = nil // later the server reads the folder while nobody waits at the terminal
		ln, err := net.ListenTCP("tcp", at)
		if err != nil {
			return fmt.Errorf("cannot listen on %s: %w; stop the program that uses this address, or give another one with --addr",
				s.addr, err)
		}
		url := s.url(ln.Addr().(*net.TCPAddr), certificate != nil)
		err = e.tell(map[string]string{"url": url}, "%s shows %s; press Ctrl-C to stop\n", url, book.Shelf.Site.Site.Policy.Name)
		if err != nil {
			ln.Close()
			return err
		}
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
		defer stop()
		if s.writes {
			sending := make(chan struct{})
			go func() {
				defer close(sending)
				e.keepMirror(ctx, errs.Printf)
			}()
			defer func() {
				stop()
				select {
				case <-sending:
				case <-time.After(time.Second): // a disk that does not answer
				}
			}()
		}
		return serve.Run(ctx, serve.Server(handler, errs), ln, certificate)
	}
}

// site is what the server shows.
func (s *serving) site(e *Env, word *serve.Passphrase, errs *log.Logger) serve.Site {
	today := func() assess.Date {
		if e.todayGiven {
			return e.today
		}
		return assess.DateOf(e.Now())
	}
	shown := serve.Site{Folder: os.DirFS(e.site), Today: today, Names: s.names(), Forwarded: s.forwarded, Log: errs}
	shown.Load = func(today assess.Date, before *pages.Book) (*pages.Book, error) {
		c := *e
		c.today = today
		return c.book(s.stock, &pages.Live{Writes: s.writes, Audits: true, Passphrase: word != nil, People: s.signing.file != ""}, before)
	}
	shown.Audit = e.auditing(today)
	if s.writes {
		shown.Desk = e.desk(today, word)
	}
	return shown
}

// names lists the host names that the server answers to.
func (s *serving) names() []string {
	names := s.hosts
	host, _, err := net.SplitHostPort(s.addr)
	if err == nil && host != "" && !net.ParseIP(host).IsUnspecified() {
		names = append(names, host)
	}
	if own, err := os.Hostname(); err == nil && own != "" {
		names = append(names, own)
	}
	return names
}

// url is the address of the pages for a person on this machine.
func (s *serving) url(at *net.TCPAddr, safe bool) string {
	scheme := "http"
	if safe {
		scheme = "https"
	}
	host := at.IP.String()
	if at.IP.IsUnspecified() {
		host = append(s.hosts, "localhost")[0]
	}
	return fmt.Sprintf("%s://%s/", scheme, net.JoinHostPort(host, fmt.Sprint(at.Port)))
}

// certificate is the server's certificate; nil for none.
func (s *serving) certificate() (*tls.Certificate, error) {
	if s.cert == "" && s.key == "" {
		return nil, nil
	}
	if s.cert == "" || s.key == "" {
		return nil, &usageError{text: "--tls-cert and --tls-key go together"}
	}
	var c tls.Certificate
	public, err := infile.ReadPath(s.cert, mostCertificate)
	if err == nil {
		var private []byte
		if private, err = infile.ReadPath(s.key, mostCertificate); err == nil {
			c, err = tls.X509KeyPair(public, private)
		}
	}
	if err != nil {
		return nil, &usageError{text: "--tls-cert, --tls-key: " + err.Error()}
	}
	return &c, nil
}

// word is the passphrase of the forms; nil for none.
func (s *serving) word(e *Env, at *net.TCPAddr, safe bool) (*serve.Passphrase, error) {
	alone := at.IP != nil && at.IP.IsLoopback()
	if s.passphrase == "" {
		// Another host name means that a server in front lets others in.
		if s.writes && (!alone || len(s.hosts) > 0) && s.signing.file == "" {
			return nil, &usageError{text: "--allow-writes: others reach this server, by its address or by a --host; " +
				"name the people who may sign in with --people, give a passphrase with --passphrase-file, " +
				"or listen on this machine alone (--addr 127.0.0.1:8484, without --host)"}
		}
		return nil, nil
	}
	if !s.writes {
		return nil, &usageError{text: "--passphrase-file protects the forms; it needs --allow-writes"}
	}
	line, err := firstLine(s.passphrase, e.site)
	if err != nil {
		return nil, wrongFlag("passphrase-file", err)
	}
	word, err := serve.NewPassphrase(line)
	if err != nil {
		return nil, wrongFlag("passphrase-file", err)
	}
	if !alone && !safe {
		fmt.Fprintln(e.Stderr, "vouchmark: caution: the passphrase is sent unencrypted; "+
			"give --tls-cert and --tls-key, or put a server with TLS in front")
	}
	return word, nil
}

// firstLine reads the first line of a file that only its owner can read, and
// that is not in the site folder.
func firstLine(file, site string) (string, error) {
	if err := secret(file, site); err != nil {
		return "", err
	}
	f, err := os.Open(file)
	if err != nil {
		return "", err
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Scan()
	if err = lines.Err(); errors.Is(err, bufio.ErrTooLong) {
		err = fmt.Errorf("the first line of %s is too long for a passphrase", file)
	}
	return strings.TrimSpace(lines.Text()), err
}
