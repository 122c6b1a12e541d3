package serve

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"vouchmark/label/basis/page"
)

// shared is the address of a file that all pages share: its name has a digest in it.
func shared(name, ext string) string {
	for _, p := range page.Shared() {
		if strings.HasPrefix(p.Name, name+".") && strings.HasSuffix(p.Name, ext) {
			return "/" + p.Name
		}
	}
	panic(name)
}

// hostile are addresses that no page links to, and what they get: a status, or
// a relative link. CODE and FACTS are those of a printed label.
var hostile = [][2]string{
	// Not clean: http.ServeMux alone would lead to the clean path by an
	// absolute link.
	{"//", "404"}, {"///", "404"}, {"/.", "404"}, {"/./", "404"}, {"/..", "404"}, {"/../", "404"}, {"//index.html", "404"},
	{"/../site.toml", "404"}, {"//example.org", "404"}, {"//example.org/", "404"}, {"//example.org/V/CODE", "404"},
	{"/due//", "404"}, {"/due/.", "404"}, {"/due/../due/", "404"}, {"//due/", "404"}, {"/list//1.html", "404"},
	{"/reprint//", "404"}, {"//reprint/", "404"}, {"/./reprint/", "404"}, {"//change", "404"}, {"/change/..", "404"},
	{"/V//", "404"}, {"/V/..", "404"}, {"/V/../V/CODE", "404"}, {"/V//CODE/FACTS/", "404"}, {"//V/CODE/FACTS/", "404"},
	{"/V/CODE//", "404"}, {"/V/CODE/./", "404"}, {"/V/CODE/../", "404"}, {"/V/CODE//basis.json", "404"},
	{"/V/CODE//FACTS/", "404"}, {"/V/CODE/FACTS//", "404"}, {"/V/CODE/FACTS/./", "404"}, {"/V/CODE/FACTS/../FACTS/", "404"},
	// Encoded: what they stand for decides.
	{"/%2f", "404"}, {"/%2e", "404"}, {"/%2e%2e/", "404"}, {"/%2e%2e/%2e%2e/etc/passwd", "404"}, {"/..%2fsite.toml", "404"},
	{"/%2fexample.org/", "404"}, {"/V/%2e%2e/site.toml", "404"}, {"/V/CODE/%2e%2e/", "404"}, {"/V/CODE/%2F/", "404"},
	{"/V/CODE%2FFACTS/", "200"}, {"/V%2FCODE/FACTS/", "200"}, {"/V/CODE/FACTS%2F", "200"}, {"/V/CODE/A%2FB/", "404"},
	{"/due%2F", "200"}, {"/%64ue/", "200"}, {"/list%2F1.html", "200"}, {"/reprint%2F", "200"}, {"/%72eprint/", "200"},
	// What no file system and no header should be asked for.
	{"/%00", "404"}, {"/site.toml%00.html", "404"}, {"/%ff%fe", "404"}, {"/%25", "404"}, {"/*", "404"}, {"/{$}", "404"},
	{"/%5c..%5csite.toml", "404"}, {`/\..\site.toml`, "404"}, {"/%0d%0aX-Evil:%201", "404"}, {"/http://example.org/", "404"},
	{"/V/CODE/%00/", "200"}, {"/V/CODE/%ff/", "200"}, {"/V/CODE/%0d%0aX:y/", "200"},
	{"/V/CODE/%00", "../../V/CODE/%00/"}, {"/V/CODE/%0d%0aX:y", "../../V/CODE/%0D%0AX:y/"},
	{"/V/CODE/%ff", "../../V/CODE/%FF/"}, {"/V/CODE/a%3Fb", "../../V/CODE/a%3Fb/"}, {"/V/CODE/a%20b", "../../V/CODE/a%20b/"},
	{"/V/CODE/%22%3E%3Cscript%3E", "../../V/CODE/%22%3E%3Cscript%3E/"},
	// Near what there is.
	{"/V", "404"}, {"/V/", "404"}, {"/v/", "404"}, {"/V/CODEindex.html", "404"}, {"/V/{code}/{facts}/", "404"},
	{"/V/%20CODE/", "../../V/CODE/FACTS/"}, {"/V/CODE/index.html", "../../V/CODE/FACTS/"}, {"/v/CODE", "../V/CODE/FACTS/"},
	{"/V/CODE/index.html/", "200"}, {"/V/CODE/basis.json", "../../V/CODE/basis.json/"}, {"/V/CODE/FACTS/BASIS.JSON", "404"},
	{"/V/CODE/FACTS/x", "404"}, {"/V/CODE/FACTS/x/y", "404"}, {"/V/CODE/FACTS/index.html/", "404"},
	{"/V/CODE/FACTS/basis.json/", "404"}, {"/v/CODE/FACTS/basis.json", "../../../V/CODE/FACTS/basis.json"},
	{"/v/CODE/FORGED/", "../../../V/CODE/FORGED/"}, {"/V/CODE/FORGED/index.html", "200"}, {"/V/CODE/FORGED/x", "404"},
	{"/index.html/", "404"}, {"/INDEX.HTML", "404"}, {"/list", "404"}, {"/list/", "404"}, {"/DUE/", "404"},
	{shared("vouchmark", ".css") + "/", "404"}, {"/due?x", "due/"}, {"/V/CODE?x", "../V/CODE/FACTS/"}, {"/V/CODE/FACTS/?x", "200"},
	{"/reprint", "reprint/"}, {"/change?at=REP-TX3", "change/"}, {"/reprint/index.html", "404"}, {"/reprint/x", "404"},
}

func (p *works) named(address string) string {
	return strings.NewReplacer("CODE", string(p.codes["TUB-MC4"]), "FACTS", p.facts["TUB-MC4"]).Replace(address)
}

func TestHostileAddresses(t *testing.T) {
	p := newPlant(t, true)
	for _, warm := range []bool{false, true} { // the pages are made, then kept
		for _, c := range hostile {
			for _, method := range []string{"GET", "HEAD"} {
				w := p.do(method, p.named(c[0]), nil)
				got := fmt.Sprint(w.Code)
				if w.Code == 302 {
					got = w.Header().Get("Location")
				}
				if got != p.named(c[1]) || method == "HEAD" && w.Body.Len() > 0 || w.Header().Get("X-Evil") != "" {
					t.Errorf("%s %s (kept: %v): %s, want %s", method, c[0], warm, got, p.named(c[1]))
				}
				if text := w.Body.String(); method == "GET" && w.Code == 404 && !strings.Contains(text, "No such page") {
					t.Errorf("%s says\n%s", c[0], text)
				}
			}
		}
	}
}

// No other method gets anywhere, and a page that is only read says which do.
func TestHostileMethods(t *testing.T) {
	p := newPlant(t, true)
	for _, method := range []string{"POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT", "BREW"} {
		own := [][2]string{{"/"}, {"/index.html"}, {"/due/"}, {"/V/CODE/FACTS/"}, {"/V/CODE"}}
		for _, c := range append(own, hostile...) {
			r := httptest.NewRequest("GET", "http://localhost:8484"+p.named(c[0]), nil)
			if r.Method = method; r.URL.Path == "/reprint/" {
				continue // takes POST
			}
			w := httptest.NewRecorder()
			p.ServeHTTP(w, r)
			if w.Code != 405 || w.Header().Get("Allow") != "GET, HEAD" || w.Header().Get("Location") != "" ||
				w.Body.String() != "this page accepts only GET, HEAD\n" {
				t.Errorf("%s %s: %d, %v, %s", method, c[0], w.Code, w.Header(), w.Body)
			}
		}
	}
}

// While the folder is bad input, no address shows anything else.
func TestHostileAddressesOfABrokenFolder(t *testing.T) {
	p := newPlant(t, true)
	p.get("/due/")
	if err := os.WriteFile(filepath.Join(p.dir, "changes.toml"), []byte("nonsense = 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	for _, c := range append([][2]string{{"/"}, {"/due/"}, {"/change/"}, {"/V/CODE/FACTS/"}}, hostile...) {
		if w := p.get(p.named(c[0])); w.Code != 503 || !strings.Contains(w.Body.String(), "nonsense") {
			t.Errorf("%s: %d", c[0], w.Code)
		}
	}
}

// Below a path of another server no answer leads out of it, as bytes on the
// wire say: a client of Go's would clean the addresses first.
func TestHostileAddressesBelowAPath(t *testing.T) {
	p := newPlant(t, true)
	front := httptest.NewServer(http.StripPrefix("/labels", p))
	defer front.Close()
	conn, err := net.Dial("tcp", front.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	in := bufio.NewReader(conn)
	for _, c := range hostile {
		fmt.Fprintf(conn, "GET /labels%s HTTP/1.1\r\nHost: localhost\r\n\r\n", p.named(c[0]))
		r, err := http.ReadResponse(in, nil)
		if err != nil {
			t.Fatal(c[0], err)
		}
		io.Copy(io.Discard, r.Body)
		r.Body.Close()
		got := r.Header.Get("Location")
		if got == "" {
			got = fmt.Sprint(r.StatusCode)
		}
		if got != p.named(c[1]) {
			t.Errorf("%s: %s, want %s", c[0], got, p.named(c[1]))
		}
	}
}
