package serve

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// The tests in this file wait. They run in a bubble, whose clock moves only
// while everything in it waits: what takes a minute passes at once, takes the
// same time to the nanosecond on any machine, and is compared exactly.

// pipes is a listener whose connections stay in memory. A bubble's clock does
// not move while a test waits for a real network.
type pipes struct {
	waiting chan net.Conn
	ctx     context.Context
	close   context.CancelFunc
}

func newPipes() *pipes {
	ctx, cancel := context.WithCancel(context.Background())
	return &pipes{make(chan net.Conn), ctx, cancel}
}

func (l *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-l.waiting:
		return c, nil
	case <-l.ctx.Done():
		return nil, net.ErrClosed
	}
}

func (l *pipes) Close() error   { l.close(); return nil }
func (l *pipes) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8484} }

// dial is the other end of a new connection.
func (l *pipes) dial(ctx context.Context, _, _ string) (net.Conn, error) {
	client, server := net.Pipe()
	select {
	case l.waiting <- server:
		return client, nil
	case <-l.ctx.Done():
		return nil, net.ErrClosed
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// fetch asks for a page, and gives its status and text.
func fetch(c *http.Client, url string) (int, string, error) {
	defer c.CloseIdleConnections()
	r, err := c.Get(url)
	if err != nil {
		return 0, "", err
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	return r.StatusCode, string(data), err
}

func TestPassphrase(t *testing.T) {
	if _, err := NewPassphrase("eleven char"); err == nil {
		t.Error("a short passphrase is taken")
	}
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, true)
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		p.site.Desk.Passphrase = word
		before := snap(t, p.dir)
		form := p.order(t)
		for _, try := range []string{"", "wrong", "correct horse batter"} {
			form.Set("passphrase", try)
			w := p.do("POST", "/reprint/", form)
			if w.Code != 403 || !strings.Contains(w.Body.String(), `id="passphrase-error"`) || try != "" && strings.Contains(w.Body.String(), try) {
				t.Errorf("%q: %d", try, w.Code)
			}
		}
		change := keep(p.do("POST", "/change/", p.told(t)).Body.String())
		change.Set("save", "yes")
		if w := p.do("POST", "/change/", change); w.Code != 403 || !strings.Contains(w.Body.String(), "Nothing is saved yet") {
			t.Error("a change without it:", w.Code)
		}
		if word.Failed() != 4 || p.prints.Load() != 0 || snap(t, p.dir) != before || !strings.Contains(p.log.String(), "4 since") || strings.Contains(p.log.String(), "correct horse") {
			t.Errorf("%d failed tries; log %s", word.Failed(), &p.log)
		}
		begin := time.Now()
		form.Set("passphrase", "correct horse battery")
		if w := p.do("POST", "/reprint/", form); w.Code != 303 || p.prints.Load() != 1 {
			t.Error("with it:", w.Code, w.Body)
		}
		if waited := time.Since(begin); waited != time.Second {
			t.Errorf("the next try waited %v behind a wrong one, want 1s", waited)
		}
		change.Set("passphrase", "correct horse battery")
		if w := p.do("POST", "/change/", change); w.Code != 303 {
			t.Error("a change with it:", w.Code, w.Body)
		}
		if waited := time.Since(begin); waited != time.Second {
			t.Errorf("a try waited %v behind a right one", waited-time.Second)
		}
	})
}

// A guesser with many connections gets no more tries than one with a single.
func TestPassphraseIsSlow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		var busy atomic.Int64
		begin := time.Now()
		for range 50 {
			all.Go(func() {
				if err := word.Check(t.Context(), Who{Address: "192.0.2.66"}, "guess"); errors.Is(err, errBusy) {
					busy.Add(1)
				}
			})
		}
		all.Wait()
		// How many find room to wait depends on who comes first.
		if tried := word.Failed(); tried < 1 || tried+busy.Load() != 50 || time.Since(begin) != time.Duration(tried-1)*time.Second {
			t.Errorf("%d tries in %v", tried, time.Since(begin))
		}
	})
}

// A client that gives up leaves the gate as it was.
func TestPassphraseGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		if err := word.Check(t.Context(), Who{Address: "192.0.2.66"}, "guess"); !errors.Is(err, errWrong) {
			t.Error(err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Second/2)
		defer cancel()
		if err := word.Check(ctx, Who{Address: "192.0.2.66"}, "correct horse battery"); !errors.Is(err, errBusy) {
			t.Error(err)
		}
		begin := time.Now()
		if err := word.Check(t.Context(), Who{Address: "192.0.2.66"}, "correct horse battery"); err != nil || time.Since(begin) != time.Second/2 {
			t.Errorf("%v after %v", err, time.Since(begin))
		}
	})
}

// A server that is asked to end lets an answer finish, for as long as that
// takes up to a limit, and then ends without it.
func TestShutdownLetsAnswersFinish(t *testing.T) {
	for name, c := range map[string]struct{ takes, ends time.Duration }{
		"in time":  {goodbye / 2, goodbye / 2},
		"too long": {goodbye * 2, goodbye},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				arrived := make(chan struct{})
				h := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
					close(arrived)
					time.Sleep(c.takes)
					io.WriteString(w, "whole")
				})
				ln := newPipes()
				ctx, end := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- Run(ctx, Server(h, nil), ln, nil) }()
				got := make(chan string, 1)
				go func() {
					_, text, err := fetch(&http.Client{Transport: &http.Transport{DialContext: ln.dial}}, "http://localhost/")
					if err != nil {
						text = "cut off"
					}
					got <- text
				}()
				<-arrived
				begin := time.Now()
				end()
				if err := <-ended; err != nil {
					t.Error(err)
				}
				// net/http looks for running answers now and then, about twice a second.
				if took := time.Since(begin); took < c.ends || took > c.ends+time.Second {
					t.Errorf("it ended after %v, want %v", took, c.ends)
				}
				want := "whole"
				if c.takes > goodbye {
					want = "cut off"
				}
				if text := <-got; text != want {
					t.Errorf("the client got %q, want %q", text, want)
				}
				time.Sleep(c.takes) // a handler cannot be stopped; a bubble ends when all in it has
			})
		})
	}
}

func TestTLS(t *testing.T) {
	model := httptest.NewTLSServer(http.NotFoundHandler())
	defer model.Close()
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, false)
		ln := newPipes()
		ctx, end := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- Run(ctx, Server(p, nil), ln, &model.TLS.Certificates[0]) }()
		transport := model.Client().Transport.(*http.Transport).Clone()
		transport.DialContext = ln.dial
		status, text, err := fetch(&http.Client{Transport: transport}, "https://127.0.0.1"+p.place("TUB-MC4"))
		if err != nil || status != 200 || !strings.Contains(text, "HOLDS until") {
			t.Error(status, text, err)
		}
		end()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}
