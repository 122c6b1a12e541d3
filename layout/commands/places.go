package commands

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/bucket"
	across "vouchmark/label/overview"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// plantReader reads plants wherever they are: in site folders, in published folders, or on a web server.
type plantReader struct {
	e      *Env
	out    string        // the folder of the page, from which paths lead to published folders; "" for none
	judges chan struct{} // as many as may judge a site folder at a time, since each is in memory as a whole
	client *http.Client
	store  buckets
	view   *bucket.Address // of the page, where that is in a store: it is not one of the plants
}

func (e *Env) plants(out string) *plantReader {
	quiet := *e
	quiet.progress = nil
	quiet.Stderr = &locked{w: e.Stderr}
	return &plantReader{e: &quiet, out: out, judges: make(chan struct{}, runtime.GOMAXPROCS(0)), client: client()}
}

// locked is a stream to which several write.
type locked struct {
	mu sync.Mutex
	w  io.Writer
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.w.Write(p)
}

// all are the plants at some places: a place in a store, or a folder, may hold many. Those of an earlier view of the same
// places are in it too, so that one that is gone since is told.
func (r *plantReader) all(places, earlier []string) (all []string, err error) {
	for _, place := range places {
		if place, err = onDisk(place); err != nil {
			return nil, fmt.Errorf("%s: %w", place, err)
		}
		one := []string{place}
		switch {
		case inStore(place):
			if one, err = r.store.plantsIn(place); err != nil {
				return nil, fmt.Errorf("%s: %w", place, err)
			}
			one = slices.DeleteFunc(one, func(place string) bool { return r.view != nil && r.view.Same(place) })
		case !address(place):
			one = plantFolders(place)
		}
		all = append(all, one...)
		for _, old := range earlier {
			if below(old, place) {
				all = append(all, old)
			}
		}
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(all, func(place string) bool {
		twice := seen[place]
		seen[place] = true
		return twice
	}), nil
}

// below reports whether a place is directly below another one.
func below(place, parent string) bool {
	if !inStore(place) || !inStore(parent) {
		return !address(place) && !address(parent) && filepath.Clean(place) != filepath.Clean(parent) && filepath.Dir(place) == filepath.Clean(parent)
	}
	a, err := bucket.Parse(place)
	b, wrong := bucket.Parse(parent)
	if err != nil || wrong != nil {
		return false
	}
	one, low := a.Root()
	other, high := b.Root()
	rest, ok := strings.CutPrefix(low, high)
	return ok && one.String() == other.String() && strings.Count(rest, "/") == 1
}

// read is an [across.Reader].
func (r *plantReader) read(place string) (across.Reading, error) {
	switch {
	case inStore(place):
		return r.store.read(place)
	case address(place):
		return r.get(place)
	case isSite(place):
		got, err := r.judged(place)
		return got, brief(place, err)
	}
	got, err := r.published(place)
	return got, brief(place, err)
}

// address reports whether a place is one of the web, or means to be.
func address(place string) bool { return strings.Contains(place, "://") }

// isSite reports whether a folder is a site folder.
func isSite(dir string) bool {
	_, err := os.Lstat(filepath.Join(dir, assess.PolicyFile))
	return err == nil
}

// in is the environment of a command in a site folder.
func (r *plantReader) in(dir string) *Env {
	one := *r.e
	one.site, one.last = dir, &record.LastRead{}
	return &one
}

// judged reads a site folder and judges its labels.
func (r *plantReader) judged(dir string) (across.Reading, error) {
	r.judges <- struct{}{}
	defer func() { <-r.judges }()
	got := across.Reading{Kind: across.SiteFolder}
	v, _, err := r.in(dir).view()
	if err != nil {
		return got, err
	}
	got.Summary, got.Names = report.NewSummary(v), report.NewNames(v)
	got.Link = v.Site.Policy.Link
	if lines := v.History.Ledger.Lines; len(lines) > 0 {
		got.Ledger = lines[0].Hash
	}
	return got, nil
}

// published reads a published folder.
func (r *plantReader) published(dir string) (across.Reading, error) {
	file := filepath.Join(dir, across.PublishedFile)
	f, err := infile.OpenPath(file, infile.GiB)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Stat(dir); err != nil {
			return across.Reading{}, errors.New("no such folder")
		}
		return across.Reading{}, fmt.Errorf("neither a site folder (%s) nor a published one (%s)", assess.PolicyFile, across.PublishedFile)
	}
	if err != nil {
		return across.Reading{Kind: across.PublishedFolder}, err
	}
	defer f.Close()
	got, err := across.Published(f)
	if got.Kind = across.PublishedFolder; err != nil {
		return got, err
	}
	if got.Link = got.Summary.Link; got.Link == "" && r.out != "" {
		got.Link = relative(r.out, dir)
	}
	return got, nil
}

// relative is the path from one folder to another as an address in a page; "" where there is none.
func relative(from, to string) string {
	rel, err := filepath.Rel(resolved(from), resolved(to))
	if err != nil {
		return ""
	}
	parts := strings.Split(filepath.ToSlash(rel), "/")
	for i := range parts {
		parts[i] = url.PathEscape(parts[i])
	}
	return "./" + strings.Join(parts, "/") // a colon in the first part is then no scheme
}

// brief is an error of a folder as one line.
func brief(dir string, err error) error {
	var bad site.Problems
	var in *infile.Error
	switch {
	case errors.As(err, &bad) && len(bad) > 0:
		text := bad[0].String()
		if n := len(bad) - 1; n > 0 {
			text += fmt.Sprintf("; and %s", report.Plural(n, "more problem"))
		}
		return fmt.Errorf("%s (vouchmark check --site %s lists all)", text, quote(dir))
	case errors.As(err, &in):
		return fmt.Errorf("%s: found %s, expected %s", filepath.Base(in.File), in.Found, in.Expected)
	case err != nil:
		return errors.New(short(strings.Join(strings.Fields(err.Error()), " ")))
	}
	return nil
}

// policy reads the policy of the plant at a place.
func (r *plantReader) policy(place string) (across.Owned, error) {
	if !address(place) && isSite(place) {
		f := r.in(place).folder()
		p, err := site.ReadPolicy(f.fs, f.options)
		if err = site.Join(f.err, err); err != nil {
			return across.Owned{}, brief(place, err)
		}
		return across.Owned{Place: place, Site: p.Name, Settings: report.Settings(p)}, nil
	}
	got, err := r.read(place)
	if err != nil {
		return across.Owned{}, err
	}
	return across.Owned{Place: place, Site: got.Summary.Site, Settings: got.Summary.Settings}, nil
}

// Limits of reading over the network.
const (
	longestWait   = 15 * time.Second // for one plant, in all
	mostRedirects = 3
)

// client follows redirects within one host alone: the pages of another host are not those that somebody named.
func client() *http.Client {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxResponseHeaderBytes = 64 * infile.KiB
	return &http.Client{Transport: t, Timeout: longestWait, CheckRedirect: func(to *http.Request, via []*http.Request) error {
		from := via[len(via)-1].URL
		switch {
		case len(via) > mostRedirects:
			return errors.New("it redirects too often")
		case to.URL.Hostname() != from.Hostname() || to.URL.User != nil || to.URL.Scheme != from.Scheme && to.URL.Scheme != "https":
			return fmt.Errorf("it redirects to %s; name that address if it is right", to.URL.Redacted())
		}
		return nil
	}}
}

// get reads a published site over the network.
func (r *plantReader) get(place string) (across.Reading, error) {
	got := across.Reading{}
	u, err := url.Parse(place)
	switch {
	case err != nil || u.Host == "":
		return got, errors.New("not an address")
	case u.Scheme != "http" && u.Scheme != "https":
		return got, errors.New("only http, https and s3 addresses, and file:///PATH, can be read")
	case u.User != nil:
		return got, errors.New("an address with a name or password would be on the page for everyone to read; give the machine access in another way")
	case u.RawQuery != "" || u.Fragment != "":
		return got, errors.New("an address with ? or #; name the one of the start page")
	}
	u.Path = strings.TrimSuffix(u.Path, "index.html")
	got.Kind, got.Link = across.PublishedSite, u.String()
	answer, err := r.client.Get(u.JoinPath(across.PublishedFile).String())
	if err != nil {
		return got, network(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return got, fmt.Errorf("the server answered %d for %s", answer.StatusCode, across.PublishedFile)
	}
	read, err := across.Published(answer.Body)
	read.Kind, read.Link = got.Kind, got.Link
	return read, network(err)
}

// network is an error of the network in the words of a person.
func network(err error) error {
	var u *url.Error
	var slow interface{ Timeout() bool }
	switch {
	case errors.As(err, &slow) && slow.Timeout():
		return fmt.Errorf("no answer within %s", longestWait)
	case errors.As(err, &u):
		err = u.Err
	}
	if err == nil {
		return nil
	}
	return errors.New(short(strings.Join(strings.Fields(err.Error()), " ")))
}
