// Package programs checks finished print jobs with programs that know nothing
// of this project: qpdf, poppler and zbar. Run it by name, since go leaves
// folders called testdata out of ./...:
//
//	go test ./testdata/programs
//
// Without the programs it skips, unless VOUCHMARK_PROGRAMS=must is set.
package programs

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"
)

const link = "HTTPS://LABELS.EXAMPLE.ORG"

var root = filepath.Join("..", "..")

func need(t *testing.T, programs ...string) {
	t.Helper()
	for _, p := range programs {
		if _, err := exec.LookPath(p); err != nil {
			if os.Getenv("VOUCHMARK_PROGRAMS") == "must" {
				t.Fatalf("%s is not installed", p)
			}
			t.Skipf("%s is not installed", p)
		}
	}
}

func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	var stderr bytes.Buffer
	c := exec.Command(name, args...)
	c.Stderr = &stderr
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s%s", name, strings.Join(args, " "), err, out, stderr.Bytes())
	}
	return out
}

// site is a copy of a sample, and the program that works on it.
type site struct{ program, dir string }

func build(t *testing.T) site {
	t.Helper()
	s := site{filepath.Join(t.TempDir(), "vouchmark"), filepath.Join(t.TempDir(), "site")}
	run(t, "go", "build", "-o", s.program, root)
	if err := os.MkdirAll(s.dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, f := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile(filepath.Join(root, "samples", "creamery", f))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(s.dir, f), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func (s site) call(t *testing.T, v any, args ...string) {
	t.Helper()
	out := run(t, s.program, append(args, "--site", s.dir, "--today", "2026-05-01", "--json")...)
	if err := json.Unmarshal(out, v); err != nil {
		t.Fatal(err)
	}
}

type made struct {
	Sheets int
	Labels []struct {
		ID, Code string
		Sheet    int
	}
}

type checked struct {
	Locations []struct {
		ID, Signal      string
		Kit             *string
		EnergyPrinted   string `json:"energy_printed"`
		BoundaryPrinted string `json:"boundary_printed"`
		Prepared        string
		ReviewBy        string `json:"review_by"`
		Code            string
	}
}

// Every label of the sample, on every stock: the file is sound, its fonts are
// embedded, and on its page stand the text and the QR code that belong to its
// code.
func TestEveryPage(t *testing.T) {
	need(t, "qpdf", "pdffonts", "pdftotext", "pdftoppm", "zbarimg")
	s := build(t)
	var check checked
	s.call(t, &check, "check")
	for _, stock := range []string{"4x4", "letter-4x4", "letter-4x3"} {
		t.Run(stock, func(t *testing.T) {
			dir := t.TempDir()
			pdf := filepath.Join(dir, "labels.pdf")
			var m made
			s.call(t, &m, "print", "--stock", stock, "--out", pdf)
			if len(m.Labels) != len(check.Locations) {
				t.Errorf("%d labels for %d locations", len(m.Labels), len(check.Locations))
			}
			run(t, "qpdf", "--check", pdf)
			fonts(t, pdf)
			run(t, "pdftoppm", "-r", "200", "-gray", "-png", pdf, filepath.Join(dir, "page"))
			images, _ := filepath.Glob(filepath.Join(dir, "page*.png"))
			sort.Strings(images)
			if len(images) != m.Sheets {
				t.Fatalf("%d pages, %d sheets", len(images), m.Sheets)
			}
			for sheet := 1; sheet <= m.Sheets; sheet++ {
				n := fmt.Sprint(sheet)
				text := strings.Join(strings.Fields(string(run(t, "pdftotext", "-f", n, "-l", n, pdf, "-"))), " ")
				var want []string
				for _, l := range m.Labels {
					if l.Sheet != sheet {
						continue
					}
					want = append(want, s.onPage(t, &check, l.ID, l.Code, text))
				}
				got := strings.Fields(string(run(t, "zbarimg", "-q", "--raw", images[sheet-1])))
				sort.Strings(got)
				sort.Strings(want)
				if !slices.Equal(got, want) {
					t.Errorf("sheet %d: QR codes\n%s\nwant\n%s", sheet, strings.Join(got, "\n"), strings.Join(want, "\n"))
				}
			}
		})
	}
}

// onPage looks for a label's facts in the text of its page, and gives the
// text that its QR code must hold.
func (s site) onPage(t *testing.T, check *checked, id, code, text string) string {
	t.Helper()
	for _, l := range check.Locations {
		if l.ID != id {
			continue
		}
		for _, fact := range []string{id, code, l.Signal, l.EnergyPrinted, l.BoundaryPrinted, l.Prepared, l.ReviewBy} {
			if !strings.Contains(text, fact) {
				t.Errorf("%s: the page lacks %q", id, fact)
			}
		}
		if l.Kit != nil && !strings.Contains(text, *l.Kit) {
			t.Errorf("%s: the page lacks %q", id, *l.Kit)
		}
		if l.Code != code {
			t.Errorf("%s: code %s printed, check says %s", id, code, l.Code)
		}
	}
	var basis struct{ Code, Facts string }
	s.call(t, &basis, "basis", code)
	return link + "/V/" + basis.Code + "/" + basis.Facts
}

// fonts demands that every font of a PDF is embedded.
func fonts(t *testing.T, pdf string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(string(run(t, "pdffonts", pdf))), "\n")
	if len(lines) < 3 {
		t.Fatal("no fonts")
	}
	at := strings.Index(lines[0], "emb")
	for _, l := range lines[2:] {
		if !strings.HasPrefix(l[at:], "yes") {
			t.Errorf("not embedded: %s", l)
		}
	}
}
