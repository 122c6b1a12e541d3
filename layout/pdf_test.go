package layout

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"image"
	"image/color"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	pdfreader "github.com/ledongthuc/pdf"
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"vouchmark/label"
	"vouchmark/testdata/suite"
)

// jobPDF is a job as one document.
func jobPDF(job *Job) ([]byte, error) {
	sheets, err := job.Sheets()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	pdf := NewPDF(&out, Document{Title: "Arc-flash labels", Language: "en", Date: sampleDate})
	pdf.Sheets(sheets)
	err = pdf.Finish()
	return out.Bytes(), err
}

// pagesOf are sheets as pages.
func pagesOf(s *Sheets, err error) ([]Page, error) {
	if err != nil {
		return nil, err
	}
	pages, errs := make([]Page, s.N), make([]error, s.N)
	for i := range pages {
		pages[i], errs[i] = s.page(i)
	}
	return pages, errors.Join(errs...)
}

func makePDF(t *testing.T, job *Job) []byte {
	t.Helper()
	pdf, err := jobPDF(job)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// TestQRReadsBack decodes the codes from pixels, with a library other than the one
// that made them.
func TestQRReadsBack(t *testing.T) {
	labels := manyLabels(24)
	for _, l := range labels {
		m, err := newMatrix(l.QR)
		if err != nil {
			t.Fatal(err)
		}
		if got := readQR(t, m); got != l.QR {
			t.Errorf("reads %q, want %q", got, l.QR)
		}
		if m.Version() > 5 {
			t.Errorf("%q takes version %d, which has no room reserved", l.QR, m.Version())
		}
	}
}

// The longest possible link, with 35 characters for the owner's part and 64 for the
// facts, is a code of version 5 (37 modules a side) on every stock, in modules that a
// phone reads at arm's length.
func TestLongestLink(t *testing.T) {
	l := sample()
	l.QR = "HTTPS://" + strings.Repeat("A", 27) + "/V/7K3M-9QTD-RC4A-0W2E/" + strings.Repeat("W", 64)
	if len(l.QR) != 35+len("/V/")+19+len("/")+64 {
		t.Fatalf("%d characters", len(l.QR))
	}
	for _, stock := range Stocks() {
		d := draw(t, l, stock)
		codes := 0
		for i := range d.Ops {
			o := &d.Ops[i]
			if o.Kind != QR {
				continue
			}
			codes++
			if module := InMM(o.W) / float64(o.Matrix.Side()+2*quietZone); o.Matrix.Side() != 37 || o.Matrix.Version() != 5 ||
				module < 0.4-1e-6 {
				t.Errorf("%s: %d modules a side, version %d, of %.3f mm", stock.Name, o.Matrix.Side(), o.Matrix.Version(), module)
			}
			if got := readQR(t, o.Matrix); got != l.QR {
				t.Errorf("reads %q", got)
			}
		}
		if codes != 1 {
			t.Errorf("%s: %d codes", stock.Name, codes)
		}
	}
}

func readQR(t *testing.T, m *Matrix) string {
	t.Helper()
	const pixels = 4 // a module
	side := (m.Side() + 2*quietZone) * pixels
	img := image.NewGray(image.Rect(0, 0, side, side))
	for i := range img.Pix {
		img.Pix[i] = 0xFF
	}
	m.Rects(func(x, y, w, h int) {
		for py := (y + quietZone) * pixels; py < (y+h+quietZone)*pixels; py++ {
			for px := (x + quietZone) * pixels; px < (x+w+quietZone)*pixels; px++ {
				if img.GrayAt(px, py).Y == 0 {
					t.Fatalf("module %d,%d is drawn twice", x, y)
				}
				img.SetGray(px, py, color.Gray{})
			}
		}
	})
	bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatal(err)
	}
	got, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
	if err != nil {
		t.Fatal(err)
	}
	return got.GetText()
}

// TestPDFReadsBack opens the document with an independent reader: every label's
// words are in the text layer of its page, in the order of the label.
func TestPDFReadsBack(t *testing.T) {
	for _, name := range []string{"4x4", "letter-4x4"} {
		job := sampleJob(name, samples())
		job.Start = job.Stock.Places() // the first sheet has one label
		pdf := makePDF(t, job)
		r, err := pdfreader.NewReader(bytes.NewReader(pdf), int64(len(pdf)))
		if err != nil {
			t.Fatal(err)
		}
		if want := job.Placed()[len(job.Labels)-1].Page; r.NumPage() != want {
			t.Errorf("%s: %d pages, want %d", name, r.NumPage(), want)
		}
		for i, at := range job.Placed() {
			var text strings.Builder
			for _, g := range r.Page(at.Page).Content().Text {
				text.WriteString(g.S)
			}
			l := job.Labels[i].Label()
			last := 0
			for _, want := range []string{l.Words[0].Signal, l.ID, l.Words[0].Supply, l.Words[0].Energy, l.Words[0].Gloves, l.Words[0].Dates, l.Code} {
				n := strings.Index(text.String()[last:], want)
				if n < 0 {
					t.Errorf("%s page %d: %q is not there, or too early", name, at.Page, want)
					break
				}
				last += n
				if job.Stock.Places() > 1 {
					last = 0 // several labels share the page
				}
			}
		}
	}
}

func TestPlaced(t *testing.T) {
	job := sampleJob("letter-4x3", slices.Repeat([]*label.Label{sample()}, 8))
	job.Start = 5
	at := job.Placed()
	pages, err := pagesOf(job.Sheets())
	if err != nil || at[0].Page != 1 || at[0].Place != 5 || at[2].Page != 2 || at[2].Place != 1 || at[7].Place != 6 ||
		len(pages) != 2 {
		t.Errorf("%+v on %d pages, %v", at, len(pages), err)
	}
	// Each is where it should be.
	next := map[int]int{}
	for i, p := range at {
		x, y := job.Stock.Place(p.Place - 1)
		if d := pages[p.Page-1].Drawings[next[p.Page]]; d.X != x || d.Y != y {
			t.Errorf("label %d at %.1f, %.1f, want %.1f, %.1f", i, d.X, d.Y, x, y)
		}
		next[p.Page]++
	}
	for _, start := range []int{-1, 7} {
		job.Start = start
		if _, err := jobPDF(job); err == nil {
			t.Errorf("start %d is taken", start)
		}
	}
	if _, err := jobPDF(&Job{Stock: job.Stock}); err == nil {
		t.Error("a job without labels is printed")
	}
}

// TestSameBytes prints the same job many times in one process: gofpdf's maps are in a
// different order each time.
func TestSameBytes(t *testing.T) {
	runs := 10
	if suite.Exhaustive {
		runs = 30
	}
	var first [32]byte
	for i := range runs {
		sum := sha256.Sum256(makePDF(t, sampleJob("letter-4x4", samples())))
		if i == 0 {
			first = sum
		} else if sum != first {
			t.Fatalf("run %d differs", i)
		}
	}
}

// On any number of cores the same job gives the same bytes.
func TestSameBytesOnAllCores(t *testing.T) {
	job := sampleJob("letter-4x4", slices.Concat(samples(), manyLabels(60)))
	var first []byte
	for _, cores := range []int{1, 2, 8} {
		was := runtime.GOMAXPROCS(cores)
		pdf := makePDF(t, job)
		runtime.GOMAXPROCS(was)
		if first == nil {
			first = pdf
		} else if !bytes.Equal(pdf, first) {
			t.Errorf("%d cores give other bytes", cores)
		}
	}
}

// However many sheets a job has, only a few for each core are drawn and not yet written; and
// they are written in their order.
func TestSheetsInMemory(t *testing.T) {
	for _, cores := range []int{1, 8} {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		const n = 400
		var begun, most atomic.Int64
		written := int64(0)
		page := mustStock(t, "4x4").page()
		sheets := &Sheets{
			N:    n,
			page: func(int) (Page, error) { begun.Add(1); return page, nil },
			drawn: func(pages int) {
				most.Store(max(most.Load(), begun.Load()-written))
				if written++; int64(pages) != written {
					t.Errorf("%d pages are written, and it says %d", written, pages)
				}
			},
		}
		pdf := NewPDF(io.Discard, Document{Title: "Many", Language: "en", Date: sampleDate})
		if err := pdf.Sheets(sheets); err != nil {
			t.Fatal(err)
		}
		if bound := int64((ahead+1)*cores + 2); most.Load() > bound || written != n {
			t.Errorf("on %d cores %d of %d sheets are in memory, want at most %d; %d are written", cores, most.Load(), n, bound, written)
		}
	}
}

// A label is drawn, compressed and written with a bounded number of allocations.
func TestAllocations(t *testing.T) {
	const n = 100
	job := sampleJob("4x4", manyLabels(n))
	one := sampleJob("4x4", manyLabels(1))
	count := func(j *Job) float64 {
		return testing.AllocsPerRun(3, func() {
			if _, err := jobPDF(j); err != nil {
				t.Fatal(err)
			}
		})
	}
	if each := (count(job) - count(one)) / (n - 1); each > 800 {
		t.Errorf("%.0f allocations a label", each)
	}
	size := func(j *Job) float64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // each core compresses with room of its own
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := jobPDF(j); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	if each := (size(job) - size(one)) / (n - 1); each > 100<<10 {
		t.Errorf("%.0f bytes a label", each)
	}
}

// A label is made when its turn to be drawn has come, so a job needs no room for all of them.
func TestLabelsAreMadeWhenDrawn(t *testing.T) {
	const n = 40
	job := sampleJob("4x4", manyLabels(n))
	var made, written, most atomic.Int64
	for i := range job.Labels {
		worded := job.Labels[i].Label
		job.Labels[i].Label = func() *label.Label {
			most.Store(max(most.Load(), made.Add(1)-written.Load()))
			return worded()
		}
	}
	job.Progress = func(drawn, _ int) { written.Store(int64(drawn)) }
	sheets, err := job.Sheets()
	if err != nil || made.Load() != 0 {
		t.Fatalf("%d labels were made before the first is drawn, %v", made.Load(), err)
	}
	pdf := NewPDF(io.Discard, Document{Title: "Many", Language: "en", Date: sampleDate})
	if err := pdf.Sheets(sheets); err != nil {
		t.Fatal(err)
	}
	if bound := int64((ahead+1)*runtime.GOMAXPROCS(0) + 2); most.Load() > bound && bound < n || made.Load() != n {
		t.Errorf("%d labels were made for %d; %d at the same time, want at most %d", made.Load(), n, most.Load(), bound)
	}
}

// Every reference leads to an object, those of spot colors to theirs; no number is unused.
func TestReferences(t *testing.T) {
	for _, labels := range [][]*label.Label{samples()[:1], samples(), manyLabels(3)} {
		o, err := takeApart(makePDF(t, sampleJob("4x4", labels)))
		if err != nil {
			t.Fatal(err)
		}
		known := map[int]bool{o.root(): true, o.info(): true}
		colors := 0
		for _, body := range o.body[1:] {
			dict, _, _ := bytes.Cut(body, []byte("stream\n"))
			for _, m := range regexp.MustCompile(`(/\w+)? ?\b(\d+) 0 R`).FindAllSubmatch(dict, -1) {
				n, _ := strconv.Atoi(string(m[2]))
				if n < 1 || n >= len(o.body) {
					t.Fatalf("%s leads nowhere", m[0])
				}
				known[n] = true
				if bytes.HasPrefix(m[1], []byte("/CS")) {
					colors++
					if !bytes.HasPrefix(o.body[n], []byte("[/Separation ")) {
						t.Errorf("%s is %.40q", m[0], o.body[n])
					}
				}
			}
		}
		if colors == 0 || len(known) != len(o.body)-1 {
			t.Errorf("%d spot colors; references to %d of %d objects", colors, len(known), len(o.body)-1)
		}
	}
}

// A label that does not fit stops the document, and the error has all such labels in their
// order; one that cannot be written is told from that.
func TestSheetsFail(t *testing.T) {
	labels := manyLabels(30)
	var want []string
	for _, i := range []int{3, 4, 29} {
		bad := *labels[i]
		bad.QR = ""
		labels[i], want = &bad, append(want, bad.ID)
	}
	var got []string
	_, err := jobPDF(sampleJob("letter-4x4", labels))
	for _, m := range Misfits(err) {
		got = append(got, m.ID)
	}
	if !slices.Equal(got, want) {
		t.Errorf("misfits %v, want %v (%v)", got, want, err)
	}
	full := errors.New("the disk is full")
	s, err := sampleJob("4x4", manyLabels(60)).Sheets()
	if err != nil {
		t.Fatal(err)
	}
	pdf := NewPDF(fullDisk{full}, Document{Title: "Many", Language: "en", Date: sampleDate})
	pdf.Sheets(s)
	if err := pdf.Finish(); !errors.Is(err, full) || Misfits(err) != nil {
		t.Error(err)
	}
}

type fullDisk struct{ error }

func (d fullDisk) Write([]byte) (int, error) { return 0, d.error }

func TestPDFEntries(t *testing.T) {
	pdf := makePDF(t, sampleJob("4x4", samples()))
	for _, want := range []string{
		"/Separation /SAFETY#20ORANGE", "/Separation /SAFETY#20RED", "/PrintScaling /None", "/Lang (en)",
		"/TrimBox [0.00 0.00 288.00 288.00]", "/ID [<", "(D:20260314000000Z)",
	} {
		if !bytes.Contains(pdf, []byte(want)) {
			t.Errorf("no %s", want)
		}
	}
	one := makePDF(t, sampleJob("4x4", samples()[:1]))
	if bytes.Contains(one, []byte("SAFETY#20RED")) {
		t.Error("a job of WARNING labels names safety red: a press would want a plate for it")
	}
	for _, no := range []string{"/ExtGState", "/Transparency", "DeviceRGB"} {
		if bytes.Contains(pdf, []byte(no)) {
			t.Errorf("has %s", no)
		}
	}
}

// TestGrowth keeps a label small: 3.6 KB of PDF each on its page.
func TestGrowth(t *testing.T) {
	few, many := len(makePDF(t, sampleJob("4x4", manyLabels(10)))), len(makePDF(t, sampleJob("4x4", manyLabels(110))))
	if grown := (many - few) / 100; grown > 3600 {
		t.Errorf("a label adds %d bytes, want at most 3600", grown)
	}
}

func TestTakeApartRefuses(t *testing.T) {
	pdf := makePDF(t, sampleJob("4x4", samples()[:1]))
	for _, bad := range [][]byte{nil, []byte("xref"), pdf[:len(pdf)/2], []byte("\nxref\n0 9\n"), []byte("\nxref\n0 x\ntrailer\n<<\n>>\nstartxref\n")} {
		if _, err := takeApart(bad); err == nil {
			t.Errorf("rewrites %d bytes that are not a PDF", len(bad))
		}
	}
}

// TestOutside checks the document with the programs that are installed.
func TestOutside(t *testing.T) {
	file := filepath.Join(t.TempDir(), "labels.pdf")
	if err := os.WriteFile(file, makePDF(t, sampleJob("4x4", []*label.Label{sample(), samples()[1]})), 0o666); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) (string, bool) {
		if _, err := exec.LookPath(name); err != nil {
			t.Logf("%s is not installed", name)
			return "", false
		}
		out, err := exec.Command(name, args...).CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
		return string(out), true
	}
	run("qpdf", "--check", file)
	if out, ok := run("pdffonts", file); ok &&
		(strings.Count(out, "yes no  yes") != 3 || strings.Contains(out, " no  no ")) {
		t.Errorf("not every font is embedded:\n%s", out)
	}
	if out, ok := run("pdftotext", file, "-"); ok {
		for _, want := range []string{"WARNING", "MCC-4", "6.6 cal/cm²", "DANGER", "NO ENERGIZED WORK", "7K3M-9QTD-RC4A-0W2E", "REVIEW BY 2031-03-14"} {
			if !strings.Contains(out, want) {
				t.Errorf("pdftotext has no %q:\n%s", want, out)
			}
		}
	}
}

// unpacked is the text of a compressed stream that is not a font.
func unpacked(t *testing.T, body []byte) (string, bool) {
	t.Helper()
	_, rest, ok := bytes.Cut(body, []byte("stream\n"))
	if !ok || !bytes.HasPrefix(body, []byte("<</Filter /FlateDecode /Length ")) {
		return "", false
	}
	return inflate(rest)
}

// inflate is compressed data that some more may follow.
func inflate(data []byte) (string, bool) {
	r, err := zlib.NewReader(bytes.NewReader(data))
	if err != nil {
		return "", false
	}
	text, err := io.ReadAll(r)
	return string(text), err == nil
}
