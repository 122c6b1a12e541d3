// Package load measures the server under load and compares it with a plain static file
// server that serves the same bytes in the same run. It reports the speed and fails only
// if an answer is wrong, since a noisy machine is not a defect. Run it by name, and read
// its log:
//
//	go test -v -count=1 ./testdata/load
//
// It is limited to 10,020 records, each requested once, then 64 clients and 20,000
// requests or one minute for a run, on the loopback address only.
package load

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

const (
	copies   = 334 // of the sample's 30 locations
	clients  = 64
	requests = 20000
	longest  = time.Minute
	today    = "2026-05-01"
)

// TestMain is also the static file server, in its own process.
func TestMain(m *testing.M) {
	if dir := os.Getenv("VOUCHMARK_STATIC"); dir != "" {
		ln, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			panic(err)
		}
		fmt.Printf("http://%s/ shows files\n", ln.Addr())
		panic(http.Serve(ln, http.FileServer(http.Dir(dir))))
	}
	os.Exit(m.Run())
}

func TestLoad(t *testing.T) {
	program, dir := filepath.Join(t.TempDir(), "vouchmark"), t.TempDir()
	run(t, "go", "build", "-o", program, filepath.Join("..", ".."))
	plant(t, dir)
	run(t, program, "print", "--site", dir, "--today", today, "--out", filepath.Join(t.TempDir(), "labels.pdf"))
	live := start(t, exec.Command(program, "serve", "--site", dir, "--today", today, "--addr", "127.0.0.1:0"))
	paths := pages(t, live)

	// Every page once: the cost of a page that is not stored yet. Its bytes become the
	// files of the other server.
	static := t.TempDir()
	first := load(t, live, paths, len(paths), func(path string, body []byte) {
		file := filepath.Join(static, filepath.FromSlash(path), "index.html")
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Error(err)
		}
		if err := os.WriteFile(file, body, 0o644); err != nil {
			t.Error(err)
		}
	})
	t.Logf("%d pages made for the first time: %s", len(paths), first)

	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	files := exec.Command(self)
	files.Env = append(os.Environ(), "VOUCHMARK_STATIC="+static)
	plain := start(t, files)
	var served, given []figures
	for i := range 4 {
		if i%2 == 1 { // neither is always first
			given = append(given, load(t, plain, paths, requests, nil))
		}
		served = append(served, load(t, live, paths, requests, nil))
		if i%2 == 0 {
			given = append(given, load(t, plain, paths, requests, nil))
		}
	}
	s, g := best(served), best(given)
	t.Logf("best of %d runs each", len(served))
	t.Logf("stored pages, serve:       %s", s)
	t.Logf("the same bytes from files: %s", g)
	t.Logf("serve to files: %.2f of the rate (goal at least 0.5)", s.rate/g.rate)

	// A page that requires judging the whole plant: the first one after an edit.
	var judged []time.Duration
	for i := range 3 {
		if err := os.WriteFile(filepath.Join(dir, "changes.toml"), fmt.Appendf(nil, "# edit %d\n", i), 0o644); err != nil {
			t.Fatal(err)
		}
		time.Sleep(600 * time.Millisecond) // the server looks at the folder twice a second
		at := time.Now()
		get(t, http.DefaultClient, live+"/"+paths[0])
		judged = append(judged, time.Since(at))
	}
	t.Logf("a page after an edit, with the standing of %d labels: %v", len(paths), judged)
}

type figures struct {
	n             int
	rate          float64
	p50, p99, max time.Duration
}

func (f figures) String() string {
	return fmt.Sprintf("%d requests, %.0f a second, p50 %.2f ms, p99 %.2f ms, slowest %.1f ms", f.n, f.rate, ms(f.p50), ms(f.p99), ms(f.max))
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

func best(all []figures) figures {
	return slices.MaxFunc(all, func(a, b figures) int { return int(a.rate - b.rate) })
}

// load requests a number of pages from all clients at once: if keep is given, each page
// once, in order and however long that takes; otherwise any pages, for one minute at
// most.
func load(t *testing.T, url string, paths []string, n int, keep func(path string, body []byte)) figures {
	t.Helper()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: clients, DisableCompression: true}}
	defer client.CloseIdleConnections()
	var next atomic.Int64
	var mu sync.Mutex
	var took []time.Duration
	var wg sync.WaitGroup
	begin := time.Now()
	for c := range clients {
		wg.Go(func() {
			r := rand.New(rand.NewPCG(1, uint64(c)))
			var own []time.Duration
			for {
				i := int(next.Add(1)) - 1
				if i >= n || keep == nil && len(own) > 0 && time.Since(begin) > longest {
					break
				}
				path := paths[i%len(paths)]
				if keep == nil {
					path = paths[r.IntN(len(paths))]
				}
				at := time.Now()
				body := get(t, client, url+"/"+path)
				own = append(own, time.Since(at))
				if keep != nil {
					keep(path, body)
				}
			}
			mu.Lock()
			took = append(took, own...)
			mu.Unlock()
		})
	}
	wg.Wait()
	all := time.Since(begin)
	slices.Sort(took)
	return figures{len(took), float64(len(took)) / all.Seconds(), took[len(took)/2], took[len(took)*99/100], took[len(took)-1]}
}

// get requests a page as a browser does, compressed.
func get(t *testing.T, client *http.Client, url string) []byte {
	request, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		t.Error(err)
		return nil
	}
	request.Header.Set("Accept-Encoding", "gzip")
	answer, err := client.Do(request)
	if err != nil {
		t.Error(err)
		return nil
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK || len(body) < 1000 {
		t.Errorf("%s: %s, %d bytes, %v", url, answer.Status, len(body), err)
	}
	return body
}

// pages are the paths of all labels' pages, from the server's own list.
func pages(t *testing.T, url string) []string {
	t.Helper()
	answer, err := http.Get(url + "/labels.js")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	data, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	var labels [][]string
	if err := json.Unmarshal(data[len("const labels = "):len(data)-2], &labels); err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, l := range labels {
		paths = append(paths, strings.TrimSuffix(l[4], "index.html"))
	}
	if len(paths) != 30*copies {
		t.Fatalf("%d labels", len(paths))
	}
	return paths
}

// plant writes the invented creamery many times over.
func plant(t *testing.T, dir string) {
	t.Helper()
	sample := filepath.Join("..", "..", "samples", "creamery")
	policy, err := os.ReadFile(filepath.Join(sample, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	in, err := os.Open(filepath.Join(sample, "locations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	rows, err := csv.NewReader(in).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	w.Write(rows[0])
	for n := range copies {
		for _, row := range rows[1:] {
			row = slices.Clone(row)
			for i, column := range rows[0] {
				if n == 0 || column != "id" && column != "fed_from" && column != "device_at" {
					continue
				}
				ids := strings.Split(row[i], ";")
				for k := range ids {
					if ids[k] != "" {
						ids[k] += "-" + strconv.Itoa(n)
					}
				}
				row[i] = strings.Join(ids, ";")
			}
			w.Write(row)
		}
	}
	w.Flush()
	for name, data := range map[string]string{"site.toml": string(policy), "locations.csv": out.String()} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func run(t *testing.T, name string, args ...string) {
	t.Helper()
	if out, err := exec.Command(name, args...).CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
}

// start runs a server until the test ends, and returns its address.
func start(t *testing.T, c *exec.Cmd) string {
	t.Helper()
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.Stderr = os.Stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Process.Kill(); c.Wait() })
	line, _ := bufio.NewReader(out).ReadString('\n')
	url, _, ok := strings.Cut(line, "/ shows")
	if !ok {
		t.Fatalf("it says %q", line)
	}
	return url
}
