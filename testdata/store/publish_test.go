package store_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/aws/aws-sdk-go-v2/config"
	"github.com/aws/aws-sdk-go-v2/service/s3"

	"vouchmark/label/bucket"
)

// must runs the program, which must succeed, and gives what it says.
func must(t *testing.T, args ...string) string {
	t.Helper()
	code, out, errs := vouchmark(t, args...)
	if code != 0 {
		t.Fatalf("%v: exit %d\n%s%s", args, code, out, errs)
	}
	return out
}

// fails runs the program, which must fail with exit code 1 and say why.
func fails(t *testing.T, say string, args ...string) {
	t.Helper()
	if code, _, errs := vouchmark(t, args...); code != 1 || !strings.Contains(errs, say) {
		t.Errorf("%v: exit %d\n%s", args, code, errs)
	}
}

// printed is a copy of the sample with three printed labels.
func printed(t *testing.T) (site string) {
	t.Helper()
	site = filepath.Join(t.TempDir(), "site")
	for _, file := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile(filepath.Join(top, "samples", "creamery", file))
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(site, file), data)
	}
	must(t, "print", "--site", site, "--today", "2026-05-01", "--only", "SEP-MC2,TNK-SG1,REP-LP1", "--out", filepath.Join(t.TempDir(), "out.pdf"))
	return site
}

func write(t *testing.T, file string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// files are those below a folder, without notes about them.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && file == dir {
			return nil
		}
		if err != nil || d.IsDir() {
			return err
		}
		if strings.Contains(d.Name(), ".sgwtmp.") { // the server's own, for the moment in which it replaces a file
			return nil
		}
		name, err := filepath.Rel(dir, file)
		if err != nil {
			return err
		}
		data, err := os.ReadFile(file)
		all[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	maps.DeleteFunc(all, func(name, _ string) bool {
		return strings.HasPrefix(name, "gen/") || name == "site.json" || name == "head.json" || name == ".publishing"
	})
	return all
}

// folder is what a folder gets of a site.
func folder(t *testing.T, site, today string) map[string]string {
	t.Helper()
	public := filepath.Join(t.TempDir(), "public")
	must(t, "publish", public, "--site", site, "--today", today)
	return files(t, public)
}

// Publish, again, a change, an altered page, an older copy: by the whole program into a real server.
func TestPublish(t *testing.T) {
	site := printed(t)
	address, dir := made(t, "publish", "plants/north/")
	old := filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(site)); err != nil {
		t.Fatal(err)
	}
	publish := func(args ...string) string {
		return must(t, append([]string{"publish", address, "--site", site}, args...)...)
	}
	if out := publish("--today", "2026-05-01"); !regexp.MustCompile(`^s3://publish/plants/north/: 3 labels; 5\d files written, 0 unchanged; .* \d+ requests, \d+ kB sent`).MatchString(out) {
		t.Error(out)
	}
	if want := folder(t, site, "2026-05-01"); !maps.Equal(files(t, dir), want) {
		t.Error("other files than in a folder")
	}
	answer, err := http.DefaultClient.Do(signedGet(t, "publish", "plants/north/index.html"))
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if head := answer.Header; answer.StatusCode != http.StatusOK || head.Get("Content-Type") != "text/html; charset=utf-8" || head.Get("Cache-Control") != "no-cache" ||
		len(head.Get("X-Amz-Meta-Sha256")) != 64 {
		t.Error(answer.Status, head)
	}
	served := httptest.NewServer(http.FileServer(http.Dir(dir)))
	defer served.Close()
	for name := range files(t, dir) { // the link on each label, and one that was altered
		link, page := strings.CutSuffix(name, "/index.html")
		if !page || strings.Count(link, "/") != 2 {
			continue
		}
		for path, want := range map[string]int{link: http.StatusOK, strings.Replace(link, "2031", "2041", 1): http.StatusNotFound} {
			answer, err := http.Get(served.URL + "/" + path)
			if err != nil {
				t.Fatal(err)
			}
			text, err := io.ReadAll(answer.Body)
			answer.Body.Close()
			if err != nil || answer.StatusCode != want || strings.Contains(string(text), "HOLDS until") != (want == http.StatusOK) {
				t.Errorf("%s: %s, %v", path, answer.Status, err)
			}
		}
	}
	if out := publish("--today", "2026-05-01"); !strings.Contains(out, "; 0 files written") || !strings.Contains(out, "; 9 requests, 1 kB sent") {
		t.Error(out)
	}
	must(t, "change", "add", "--site", site, "--today", "2026-05-01", "--at", "SEP-MC2", "--kind", "fuse replaced", "--by", "maintenance")
	if out := publish("--today", "2026-05-01"); strings.Contains(out, " 0 files written") || !regexp.MustCompile(` 1\d files written`).MatchString(out) {
		t.Error(out)
	}
	want := folder(t, site, "2026-05-01")
	if !maps.Equal(files(t, dir), want) {
		t.Error("after a change: other files than in a folder")
	}
	b := open(t, address)
	label := ""
	for name := range want {
		if strings.HasPrefix(name, "V/") && strings.HasSuffix(name, "/index.html") {
			label = name
		}
	}
	if _, err := b.Put(t.Context(), label, bytes.Replace([]byte(want[label]), []byte("2031"), []byte("2041"), 1), bucket.How{Type: "text/html"}); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "404.html")); err != nil {
		t.Fatal(err)
	}
	if out := publish("--today", "2026-05-01"); !strings.Contains(out, "; 2 files written") || !strings.Contains(out, "  2 files were altered or missing in the bucket; they are written again") {
		t.Error(out)
	}
	if !maps.Equal(files(t, dir), want) {
		t.Error("what was altered is not as it was")
	}
	fails(t, "are from a later state of this site", "publish", address, "--site", old, "--today", "2026-05-02")
	fails(t, "were checked on 2026-05-01", "publish", address, "--site", site, "--today", "2026-04-30")
}

// signedGet is a request that the store answers as it answers a phone where the bucket is public.
func signedGet(t *testing.T, name, key string) *http.Request {
	t.Helper()
	c, err := config.LoadDefaultConfig(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	client := s3.NewFromConfig(c, func(o *s3.Options) { o.BaseEndpoint, o.UsePathStyle = &endpoint, true })
	signed, err := s3.NewPresignClient(client).PresignGetObject(t.Context(), &s3.GetObjectInput{Bucket: &name, Key: &key})
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequest(http.MethodGet, signed.URL, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// counting is a server in front of the store that counts requests and, at one of them, calls a function: before the store has
// it, or when the store has carried it out and nobody knows yet.
type counting struct {
	proxy *httputil.ReverseProxy
	open  sync.WaitGroup // requests

	mu    sync.Mutex
	n, at int
	do    func()
	// passes says that this request is answered as usual, and so are those after it.
	passes bool
}

func (c *counting) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	c.open.Add(1)
	defer c.open.Done()
	c.mu.Lock()
	c.n++
	n, at, do := c.n, c.at, c.do
	c.mu.Unlock()
	body, err := io.ReadAll(r.Body)
	if err != nil { // half a request; a whole one is carried out whoever is left to wait for it
		return
	}
	r = r.WithContext(context.WithoutCancel(r.Context()))
	r.Body = io.NopCloser(bytes.NewReader(body))
	switch {
	case n == at && c.passes:
		do()
	case n == at && n%2 == 1:
		do()
		return
	case n == at:
		c.proxy.ServeHTTP(&deaf{ResponseWriter: w, do: do}, r)
		return
	case at > 0 && n > at && !c.passes: // on its way when the process was killed
		return
	}
	c.proxy.ServeHTTP(w, r)
}

// deaf is an answer of which nothing arrives.
type deaf struct {
	http.ResponseWriter
	do   func()
	once sync.Once
}

func (d *deaf) WriteHeader(int)             { d.once.Do(d.do) }
func (d *deaf) Write(p []byte) (int, error) { d.once.Do(d.do); return len(p), nil }

// front is such a server.
func front(t *testing.T) (c *counting, address string) {
	t.Helper()
	to, err := url.Parse(endpoint)
	if err != nil {
		t.Fatal(err)
	}
	c = &counting{proxy: &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(to)
		r.Out.Host = r.In.Host // it is signed
	}, ErrorHandler: func(w http.ResponseWriter, _ *http.Request, _ error) { w.WriteHeader(http.StatusBadGateway) }}}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: c}
	go server.Serve(l)
	t.Cleanup(func() {
		server.Close()
		http.DefaultClient.CloseIdleConnections()
	})
	return c, "http://" + l.Addr().String()
}

// age makes all notes so old.
func age(t *testing.T, dir string, old time.Duration) {
	t.Helper()
	notes, err := filepath.Glob(filepath.Join(dir, "gen", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, note := range notes {
		if err := os.Chtimes(note, time.Time{}, time.Now().Add(-old)); err != nil {
			t.Fatal(err)
		}
	}
}

// A process is killed at each of a hundred requests. Every file is whole, and whoever publishes next finishes.
func TestPublishKilled(t *testing.T) {
	t.Parallel()
	file, err := program()
	if err != nil {
		t.Fatal(err)
	}
	one := printed(t)
	two := filepath.Join(t.TempDir(), "two") // the same plant, but another person to ask: every page differs
	if err := os.CopyFS(two, os.DirFS(one)); err != nil {
		t.Fatal(err)
	}
	policy, err := os.ReadFile(filepath.Join(two, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(two, "site.toml"), bytes.Replace(policy, []byte(`ask = "R. Example`), []byte(`ask = "Q. Example`), 1))
	sites := []string{one, two}
	want := []map[string]string{folder(t, one, "2026-05-01"), folder(t, two, "2026-05-01")}
	c, at := front(t)
	address, dir := made(t, "killed", "plant/")
	address = strings.Replace(address, endpoint, at, 1)
	kills, all, n := 0, 0, 0
	for try := 0; kills < 100; try++ {
		site := sites[try%2]
		cmd := exec.Command(file, "publish", address, "--site", site, "--today", "2026-05-01")
		var out bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &out
		n++
		killed := false
		c.mu.Lock()
		c.n, c.at, c.do = 0, n, func() { killed = true; cmd.Process.Kill() }
		if try%6 == 5 {
			c.at = 0 // it may finish
		}
		c.mu.Unlock()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		err := cmd.Wait()
		c.open.Wait()
		age(t, dir, time.Hour) // nobody needs to wait for it
		got := files(t, dir)
		switch {
		case killed:
			kills++
			for name, data := range got {
				if data != want[0][name] && data != want[1][name] {
					t.Fatalf("killed at request %d: %s is of neither site", n, name)
				}
			}
			continue
		case err != nil:
			t.Fatalf("after %d kills: %s", kills, out.String())
		case !maps.Equal(got, want[try%2]):
			t.Fatalf("after %d kills: other pages", kills)
		}
		if n > c.n { // there is no such request
			all, n = max(all, c.n), 0
		} else if try%6 == 5 {
			n--
		}
	}
	t.Logf("%d kills, at up to %d requests", kills, all)
}

// Somebody who presses Ctrl-C is told what that means, and the next one need not wait.
func TestPublishInterrupted(t *testing.T) {
	t.Parallel()
	file, err := program()
	if err != nil {
		t.Fatal(err)
	}
	site := printed(t)
	c, at := front(t)
	address, dir := made(t, "interrupted", "plant/")
	address = strings.Replace(address, endpoint, at, 1)
	cmd := exec.Command(file, "publish", address, "--site", site, "--today", "2026-05-01")
	var errs strings.Builder
	cmd.Stderr = &errs
	c.at, c.passes, c.do = 20, true, func() { cmd.Process.Signal(os.Interrupt) }
	cmd.Run()
	if code := cmd.ProcessState.ExitCode(); code != 4 || !strings.Contains(errs.String(), "stopped before everything was written; the files written so far are complete; publish again to finish") {
		t.Errorf("exit %d: %s", code, errs.String())
	}
	if left, err := filepath.Glob(filepath.Join(dir, "gen", "*.left")); err != nil || len(left) != 1 {
		t.Errorf("%v %v", left, err)
	}
	code, _, said := vouchmark(t, "publish", address, "--site", site, "--today", "2026-05-01")
	if code != 0 || said != "" || !maps.Equal(files(t, dir), folder(t, site, "2026-05-01")) {
		t.Errorf("then exit %d: %s", code, said)
	}
}

// Nobody can tell a publisher that was killed from one that is slow: the next one says that it waits, until the turn of the other has
// passed by the store's clock.
func TestPublishWaits(t *testing.T) {
	t.Parallel()
	file, err := program()
	if err != nil {
		t.Fatal(err)
	}
	site := printed(t)
	c, at := front(t)
	address, dir := made(t, "waits", "plant/")
	address = strings.Replace(address, endpoint, at, 1)
	cmd := exec.Command(file, "publish", address, "--site", site, "--today", "2026-05-01")
	c.at, c.do = 20, func() { cmd.Process.Kill() }
	cmd.Run()
	c.open.Wait()
	c.at = 0
	turn := 150 * time.Second // and margin
	age(t, dir, turn-3*time.Second)
	began := time.Now()
	code, _, said := vouchmark(t, "publish", address, "--site", site, "--today", "2026-05-01")
	if code != 0 || !strings.HasPrefix(said, "another publisher is at work in s3://waits/plant/, or was killed; waiting until") || time.Since(began) < time.Second {
		t.Errorf("exit %d after %s: %s", code, time.Since(began), said)
	}
	if !maps.Equal(files(t, dir), folder(t, site, "2026-05-01")) {
		t.Error("other files than in a folder")
	}
}

// Two processes at once: one waits for the other, and what both say is true.
func TestPublishAtOnce(t *testing.T) {
	site := printed(t)
	address, dir := made(t, "at-once", "plant/")
	ends := make(chan string, 2)
	for range 2 {
		go func() {
			code, out, errs := vouchmark(t, "publish", address, "--site", site, "--today", "2026-05-01")
			ends <- fmt.Sprint("exit ", code, " ", out, errs)
		}()
	}
	all, first := "", 0
	for range 2 {
		out := <-ends
		if all += out; strings.Contains(out, "files written, 0 unchanged") {
			first++
		}
	}
	if strings.Count(all, "exit 0") != 2 || first != 1 || !maps.Equal(files(t, dir), folder(t, site, "2026-05-01")) {
		t.Error(all)
	}
}
