// Package programs checks finished print jobs with programs that know nothing about
// this project: qpdf, poppler and zbar. Run it by name, since go leaves
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
	"sync"
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

// built is the program, built once for all tests.
var built = sync.OnceValues(func() (string, error) {
	file := filepath.Join(temp, "vouchmark")
	out, err := exec.Command("go", "build", "-o", file, root).CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w\n%s", err, out)
	}
	return file, err
})

var temp string // a folder for all tests

func TestMain(m *testing.M) {
	var err error
	if temp, err = os.MkdirTemp("", "programs"); err != nil {
		panic(err)
	}
	code := m.Run()
	os.RemoveAll(temp)
	os.Exit(code)
}

func program(t *testing.T) string {
	t.Helper()
	file, err := built()
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// site is a copy of a sample, and the program that works on it.
type site struct{ program, dir string }

func build(t *testing.T) site {
	t.Helper()
	s := site{program(t), filepath.Join(t.TempDir(), "site")}
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

// For every label of the sample, on every stock: the file is sound, its fonts are
// embedded, and its page has the text and the QR code that belong to its code.
func TestEveryPage(t *testing.T) {
	s := build(t)
	for _, stock := range []string{"4x4", "4x6", "6x4", "5x3.5", "3x5", "4x2", "100x100", "100x150", "150x100", "70x100", "letter-4x4", "letter-4x3", "letter-4x2", "a4-100x100"} {
		t.Run(stock, func(t *testing.T) {
			t.Parallel()
			s.copied(t).everyPage(t, stock)
		})
	}
	for _, stock := range []string{"4x6", "6x4", "100x150", "150x100"} {
		t.Run(stock+" in two languages", func(t *testing.T) {
			t.Parallel()
			of := s.copied(t)
			of.edit(t, "site.toml", `languages = ["en"]`, `languages = ["en", "es"]`)
			of.everyPage(t, stock)
		})
	}
}

// copied is a copy of the site, for a test that runs at the same time as others.
func (s site) copied(t *testing.T) site {
	t.Helper()
	to := site{s.program, filepath.Join(t.TempDir(), "site")}
	if err := os.CopyFS(to.dir, os.DirFS(s.dir)); err != nil {
		t.Fatal(err)
	}
	return to
}

// edit replaces a text in a file of the site.
func (s site) edit(t *testing.T, file, old, with string) {
	t.Helper()
	path := filepath.Join(s.dir, file)
	data, err := os.ReadFile(path)
	if err != nil || !bytes.Contains(data, []byte(old)) {
		t.Fatal(err, old)
	}
	if err := os.WriteFile(path, bytes.Replace(data, []byte(old), []byte(with), 1), 0o644); err != nil {
		t.Fatal(err)
	}
}

func (s site) everyPage(t *testing.T, stock string) {
	need(t, "qpdf", "pdffonts", "pdftotext", "pdftoppm", "zbarimg")
	var check checked
	s.call(t, &check, "check")
	dir := t.TempDir()
	pdf := filepath.Join(dir, "labels.pdf")
	var m made
	s.call(t, &m, "print", "--stock", stock, "--out", pdf)
	if len(m.Labels) < len(check.Locations) {
		t.Errorf("%d labels for %d locations", len(m.Labels), len(check.Locations))
	}
	run(t, "qpdf", "--check", pdf)
	fonts(t, pdf)
	pages := map[string][]string{}
	for _, dpi := range []string{"200", "300"} {
		run(t, "pdftoppm", "-r", dpi, "-gray", pdf, filepath.Join(dir, "at"+dpi))
		pages[dpi], _ = filepath.Glob(filepath.Join(dir, "at"+dpi+"*.pgm"))
		sort.Strings(pages[dpi])
		if len(pages[dpi]) != m.Sheets {
			t.Fatalf("%d pages, %d sheets", len(pages[dpi]), m.Sheets)
		}
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
		sort.Strings(want)
		for dpi, images := range pages {
			got := strings.Fields(string(run(t, "zbarimg", "-q", "--raw", images[sheet-1])))
			sort.Strings(got)
			if !slices.Equal(got, want) {
				t.Errorf("sheet %d at %s dpi: QR codes\n%s\nwant\n%s", sheet, dpi, strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		}
	}
}

// oneDecimal is an energy as a label shows it, of which JSON leaves out a zero.
func oneDecimal(printed string) string {
	number, unit, _ := strings.Cut(printed, " ")
	if !strings.Contains(number, ".") {
		number += ".0"
	}
	return number + " " + unit
}

// A camera is not square to a label, nor in perfect focus: every code on these stocks
// can be read after a blur and a turn of about 15 degrees, at 300 dpi. A phone takes
// many pictures: of three, each turned a little more, one is enough.
func TestBlurredAndTurned(t *testing.T) {
	need(t, "pdftoppm", "zbarimg", "convert")
	s := build(t)
	for _, stock := range []string{"4x4", "letter-4x4", "letter-4x3", "letter-4x2"} {
		t.Run(stock, func(t *testing.T) {
			t.Parallel()
			s.copied(t).turned(t, stock)
		})
	}
}

func (s site) turned(t *testing.T, stock string) {
	dir := t.TempDir()
	pdf := filepath.Join(dir, "labels.pdf")
	var m made
	s.call(t, &m, "print", "--stock", stock, "--out", pdf)
	run(t, "pdftoppm", "-r", "300", "-gray", pdf, filepath.Join(dir, "page"))
	images, _ := filepath.Glob(filepath.Join(dir, "page*.pgm"))
	read := map[string]bool{}
	for _, angle := range []string{"15", "13", "17"} {
		if len(read) == len(m.Labels) {
			break
		}
		for _, image := range images {
			turned := image + ".turned.pgm"
			run(t, "convert", image, "-blur", "0x1.2", "-background", "white", "-rotate", angle, turned)
			for _, code := range strings.Fields(string(run(t, "zbarimg", "-q", "--raw", turned))) {
				read[code] = true
			}
		}
	}
	if len(read) != len(m.Labels) {
		t.Errorf("%s: %d codes of %d read", stock, len(read), len(m.Labels))
	}
}

// Nothing was scaled: the frame of a 4 x 4 in label, measured on a raster, is within
// 0.1 mm of its size. One-color stock has no colored pixel; a job in spot colors names
// its inks and has its boxes.
func TestRaster(t *testing.T) {
	need(t, "pdftoppm", "convert", "pdfinfo")
	s := build(t)
	s.edit(t, "site.toml", "[[ladder]]", `[[stock]]
name = "thermal"
unit = "in"
label = [4, 4]
corner = 0.125
colour = "one-colour"

[[stock]]
name = "press"
unit = "in"
label = [4, 4]
bleed = 0.125
crop_marks = true

[[ladder]]`)
	dir := t.TempDir()
	pdf := filepath.Join(dir, "labels.pdf")
	var m made
	s.call(t, &m, "print", "--stock", "thermal", "--only", "SEP-MC2,TNK-TX1,REP-LP1", "--out", pdf)
	const dpi = 600.0
	run(t, "pdftoppm", "-r", "600", "-png", pdf, filepath.Join(dir, "page"))
	images, _ := filepath.Glob(filepath.Join(dir, "page*.png"))
	for _, image := range images {
		var w, h float64
		fmt.Sscan(string(run(t, "convert", image, "-trim", "-format", "%w %h", "info:")), &w, &h)
		// The frame is 0.8 mm inside the cut, and its line is 1.3 pt wide.
		want := 101.6 - 2*0.8 + 1.3*25.4/72
		if w, h := w/dpi*25.4, h/dpi*25.4; w < want-0.1 || w > want+0.1 || h < want-0.1 || h > want+0.1 {
			t.Errorf("frame of %.3f x %.3f mm, want %.3f", w, h, want)
		}
		if c := strings.TrimSpace(string(run(t, "convert", image, "-colorspace", "HSL", "-channel", "G", "-separate", "-format", "%[fx:maxima]", "info:"))); c != "0" {
			t.Errorf("one color, yet the saturation is %s", c)
		}
	}
	s.call(t, &m, "print", "--stock", "press", "--only", "SEP-MC2,TNK-TX1", "--out", pdf)
	data, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, ink := range []string{"SAFETY#20ORANGE", "SAFETY#20RED"} {
		if !bytes.Contains(data, []byte("/Separation /"+ink)) {
			t.Errorf("no ink %s", ink)
		}
	}
	boxes := strings.Join(strings.Fields(string(run(t, "pdfinfo", "-box", pdf))), " ")
	for _, box := range []string{"TrimBox: 31.68 31.68 319.68 319.68", "BleedBox: 22.68 22.68 328.68 328.68"} {
		if !strings.Contains(boxes, box) {
			t.Errorf("no %s in %s", box, boxes)
		}
	}
}

// onPage looks for a label's facts in the text of its page, and returns the text that
// its QR code must have.
func (s site) onPage(t *testing.T, check *checked, id, code, text string) string {
	t.Helper()
	for _, l := range check.Locations {
		if l.ID != id {
			continue
		}
		for _, fact := range []string{id, code, l.Signal, oneDecimal(l.EnergyPrinted), l.BoundaryPrinted, l.Prepared, l.ReviewBy} {
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

// fonts checks that every font of a PDF is embedded.
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
