package layout

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/testdata/suite"
)

// pressStock is an owner's stock with a printing condition.
func pressStock(color assess.Color) Stock {
	return StockFrom(assess.Stock{Name: "press", Page: [2]float64{101.6, 101.6}, Label: [2]float64{101.6, 101.6},
		Columns: 1, Rows: 1, Bleed: 3, CropMarks: true, Color: color, OutputCondition: "CGATS TR 001"})
}

// pressPDF is a job with slip and proof for a print shop.
func pressPDF(t *testing.T, stock Stock, labels []*label.Label) []byte {
	t.Helper()
	proof, job := proofOf(t, stock, "en", labels)
	slip := sampleSlip(len(labels), "en")
	slip.Stock = stock
	pages := slices.Concat(job, SlipPages(slip), proof)
	pdf, err := WritePages(Document{Title: "Arc-flash labels", Language: "en", Date: sampleDate, Condition: stock.Condition}, pages)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// What the bytes of a claim of PDF/X-1a:2003 must say. The clauses of ISO 15930-4 are named
// by their subjects and those of the PDF Reference (3rd edition, PDF 1.4) by their numbers,
// both from memory. A test in testdata/programs goes through every object of such a file
// with a program that knows nothing of this one.
var pdfXEntries = []struct{ clause, want string }{
	{"PDF Reference 3.4.1, header; ISO 15930-4, PDF version", `^%PDF-1\.4\n%[\x80-\xFF]{4}\n`},
	{"ISO 15930-4, PDF/X identification", `/GTS_PDFXVersion \(PDF/X-1a:2003\)\n`},
	{"ISO 15930-4, document information: title", `/Title \(`},
	{"ISO 15930-4, document information: creator and producer", `/Creator \(vouchmark\)[^>]*/Producer \(`},
	{"ISO 15930-4, document information: creation date", `/CreationDate \(D:20260314000000Z\)\n`},
	{"ISO 15930-4, document information: date of the last change", `/ModDate \(D:20260314000000Z\)\n`},
	{"ISO 15930-4, trapping: true or false", `/Trapped /False\n`},
	{"ISO 15930-4, output intent", `/OutputIntents \[<</Type /OutputIntent /S /GTS_PDFX\n`},
	{"ISO 15930-4, output intent: the condition's registered name", `/OutputConditionIdentifier \(CGATS TR 001\)\n`},
	{"ISO 15930-4, output intent: the registry", `/RegistryName \(http://www\.color\.org\)\n`},
	{"PDF Reference 9.10.4, output intents", `/Info \(CGATS TR 001\)>>\]`},
	{"PDF Reference 9.3, file identifiers; ISO 15930-4, ID", `/ID \[<[0-9a-f]{32}> <[0-9a-f]{32}>\]\n>>\nstartxref\n`},
	{"PDF Reference 3.4.3, cross-reference table, not a stream", `\nxref\n0 \d+\n0000000000 65535 f \n`},
}

// What such a file must not have, by the same clauses.
var pdfXNever = map[string][]string{
	"ISO 15930-4, transparency":                 {"/SMask", "/ca ", "/CA ", "/BM ", "/Group", "/Transparency"},
	"ISO 15930-4, color spaces":                 {"/DeviceRGB", "/CalRGB", "/CalGray", "/Lab", "/ICCBased"},
	"ISO 15930-4, extended graphics state":      {"/ExtGState", "/TR", "/TR2", "/HTO", "/BG", "/UCR"},
	"ISO 15930-4, annotations":                  {"/Annots", "/AcroForm"},
	"ISO 15930-4, actions and scripts":          {"/OpenAction", "/AA ", "/JavaScript", "/JS", "/URI"},
	"ISO 15930-4, encryption":                   {"/Encrypt"},
	"ISO 15930-4, PostScript and external data": {"/PS ", "/Subtype /PS", "/OPI", "/Ref ", "/F ("},
	"ISO 15930-4, compression":                  {"/LZWDecode", "/JBIG2Decode", "/JPXDecode"},
	"ISO 15930-4, embedded files":               {"/EmbeddedFiles", "/Filespec", "/Names"},
	"PDF 1.4, no later structures":              {"/ObjStm", "/XRef", "/OCG"},
	"ISO 15930-4, page boxes: trim or art":      {"/ArtBox"},
}

func TestPDFXEntries(t *testing.T) {
	for _, color := range []assess.Color{assess.Spot, assess.Process} {
		pdf := pressPDF(t, pressStock(color), samples())
		for _, e := range pdfXEntries {
			if n := len(bytesRegexp(e.want).FindAll(pdf, -1)); n != 1 {
				t.Errorf("%s: %s: %s is there %d times", color, e.clause, e.want, n)
			}
		}
		text, _ := outsideStreams(pdf)
		for clause, all := range pdfXNever {
			for _, no := range all {
				if strings.Contains(text, no) {
					t.Errorf("%s: %s: has %s", color, clause, no)
				}
			}
		}
	}
}

// bytesRegexp is a regular expression over bytes that need not be UTF-8: bytes above 127
// are looked for as Latin-1.
func bytesRegexp(expr string) latin1 { return latin1{regexp.MustCompile(expr)} }

type latin1 struct{ *regexp.Regexp }

func (r latin1) FindAll(b []byte, n int) []string {
	var s strings.Builder
	for _, c := range b {
		s.WriteRune(rune(c))
	}
	return r.FindAllString(s.String(), n)
}

// outsideStreams is a PDF without the data of its streams, and the data of each stream that
// is not a font or a map, unpacked.
func outsideStreams(pdf []byte) (text string, contents []string) {
	var b strings.Builder
	for {
		before, rest, ok := bytes.Cut(pdf, []byte("stream\n"))
		b.Write(before)
		if !ok {
			return b.String(), contents
		}
		data, after, _ := bytes.Cut(rest, []byte("\nendstream"))
		if s, ok := inflate(data); ok && strings.Contains(s, " Tf ") {
			contents = append(contents, s)
		}
		pdf = after
	}
}

// ISO 15930-4, color spaces: gray, CMYK and separations with a CMYK alternate only, and
// operators that draw nothing but shapes and text of an embedded font.
func TestPDFXContent(t *testing.T) {
	known := strings.Fields("q Q cm w J j d re m l c h f S B BT ET Tf Td Tj TJ g G")
	for color, more := range map[assess.Color][]string{assess.Spot: {"cs", "CS", "scn", "SCN"}, assess.Process: {"k", "K"}} {
		pdf := pressPDF(t, pressStock(color), samples())
		text, contents := outsideStreams(pdf)
		if n := strings.Count(text, "<</Type /Page\n"); n != len(contents) || n < 4 {
			t.Errorf("%s: %d pages, and the contents of %d", color, n, len(contents))
		}
		used := map[string]bool{}
		for _, s := range contents {
			for _, op := range operators(s) {
				used[op] = true
			}
		}
		for op := range used {
			if !slices.Contains(known, op) && !slices.Contains(more, op) {
				t.Errorf("%s: operator %s", color, op)
			}
		}
		for _, op := range append(more[:1:1], "Tj", "f") {
			if !used[op] {
				t.Errorf("%s: no %s: the operators were not read", color, op)
			}
		}
		for _, m := range regexp.MustCompile(`\[/(\w+) /\S+\n/(\w+) <<`).FindAllStringSubmatch(text, -1) {
			if m[1] != "Separation" || m[2] != "DeviceCMYK" {
				t.Errorf("%s: color space %v", color, m)
			}
		}
	}
}

// operators are the operators of a content stream, without its strings, names and numbers.
func operators(s string) (all []string) {
	var b strings.Builder
	deep := 0
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case deep > 0 && c == '\\':
			i++
		case c == '(':
			deep++
			b.WriteByte(' ')
		case deep > 0 && c == ')':
			deep--
		case deep == 0:
			b.WriteByte(c)
		}
	}
	for _, word := range strings.FieldsFunc(b.String(), func(r rune) bool { return strings.ContainsRune(" \n\r\t[]", r) }) {
		if _, err := strconv.ParseFloat(word, 64); err != nil && word[0] != '/' {
			all = append(all, word)
		}
	}
	return all
}

// PDF Reference 5.5.3 and 5.8; ISO 15930-4, fonts: each font is embedded, and a subset says so
// in its name. Font, descendant and descriptor have the same name.
func TestPDFXFonts(t *testing.T) {
	text, _ := outsideStreams(pressPDF(t, pressStock(assess.Spot), samples()))
	names := map[string]int{}
	for _, m := range regexp.MustCompile(`/(?:BaseFont|FontName) /(\S+)`).FindAllStringSubmatch(text, -1) {
		names[m[1]]++
	}
	if len(names) != 3 || strings.Count(text, "/FontFile2 ") != 3 {
		t.Errorf("fonts %v", names)
	}
	for name, n := range names {
		if !regexp.MustCompile(`^[A-Z]{6}\+RobotoCondensed-(Regular|Medium|Bold)$`).MatchString(name) || n != 3 {
			t.Errorf("font %s is named %d times", name, n)
		}
	}
	other, _ := outsideStreams(pressPDF(t, pressStock(assess.Spot), samples()[:1]))
	for _, m := range regexp.MustCompile(`/FontName /(\S+)`).FindAllStringSubmatch(other, -1) {
		if names[m[1]] > 0 && strings.Contains(m[1], "Regular") {
			t.Errorf("another subset is named %s too", m[1])
		}
	}
}

// What is not a font as gofpdf writes it is refused, never embedded.
func TestFontProgramRefuses(t *testing.T) {
	good := fonts.Bold.Bytes()
	for _, bad := range [][]byte{nil, good[:11], good[:40], good[:3000], bytes.Repeat([]byte{0xFF}, 400)} {
		if _, err := fontProgram(bad); err == nil {
			t.Errorf("takes %d bytes that are not a font", len(bad))
		}
	}
	out, err := fontProgram(good)
	if err != nil || sumOf(out) != 0xB1B0AFBA || len(out) >= len(good) {
		t.Errorf("%d bytes with the sum %#x (%v)", len(out), sumOf(out), err)
	}
	again, err := fontProgram(out)
	if err != nil || !bytes.Equal(again, out) {
		t.Errorf("a second time it differs (%v)", err)
	}
}

var box = regexp.MustCompile(`/(\w+)Box \[(\S+) (\S+) (\S+) (\S+)\]`)

// ISO 15930-4, page boxes; PDF Reference 9.10.1: every page has a trim box, inside its bleed
// box if it has one, inside the medium, to the last digit that is written.
func TestPDFXBoxes(t *testing.T) {
	random := rand.New(rand.NewPCG(15930, 4))
	n := 60
	if suite.Exhaustive {
		n = 1000
	}
	for range n {
		size := [2]float64{70 + float64(random.IntN(9000))/91, 70 + float64(random.IntN(9000))/93}
		a := assess.Stock{Name: "random", Page: size, Label: size, Columns: 1, Rows: 1, Bleed: float64(random.IntN(400)) / 97,
			CropMarks: random.IntN(2) == 0, OutputCondition: "CGATS TR 001"}
		if random.IntN(2) == 0 {
			a.Page, a.Columns, a.Rows = [2]float64{2*size[0] + 30, 2*size[1] + 31}, 2, 2
			a.Left, a.Top, a.GapX, a.GapY = 10.1, 9.7, 7.3, 5.9
		}
		stock := StockFrom(a)
		page, slip := stock.page(), SlipPages(sampleSlip(1, "en"))[0] // a slip has no bleed
		pdf, err := WritePages(Document{Title: "Boxes", Language: "en", Date: sampleDate, Condition: stock.Condition}, []Page{page, slip, page})
		if err != nil {
			t.Fatal(err)
		}
		text, _ := outsideStreams(pdf)
		inherited := ""
		for _, object := range strings.Split(text, "endobj") {
			if strings.Contains(object, "/Type /Pages") {
				inherited = box.FindString(object)
			}
		}
		pages := 0
		for _, object := range strings.Split(text, "endobj") {
			if !strings.Contains(object, "<</Type /Page\n") {
				continue
			}
			pages++
			boxes := map[string][4]float64{}
			for _, m := range box.FindAllStringSubmatch(inherited+object, -1) {
				var b [4]float64
				for i := range b {
					b[i], _ = strconv.ParseFloat(m[2+i], 64)
				}
				boxes[m[1]] = b
			}
			inside := func(in, out string) {
				a, b := boxes[in], boxes[out]
				if a[2] <= a[0] || a[3] <= a[1] || a[0] < b[0] || a[1] < b[1] || a[2] > b[2] || a[3] > b[3] {
					t.Errorf("%+v: %s box %v is not inside %s box %v", size, in, a, out, b)
				}
			}
			inside("Trim", "Media")
			if _, ok := boxes["Bleed"]; ok {
				inside("Bleed", "Media")
				inside("Trim", "Bleed")
			}
		}
		if pages != 3 {
			t.Fatalf("%d pages", pages)
		}
	}
}

// A file of which PDF/X is not claimed has nothing of it and stays the PDF 1.3 that it was;
// what cannot be PDF/X is refused, not claimed.
func TestPDFXNotClaimed(t *testing.T) {
	stock := pressStock(assess.Spot)
	stock.Condition = ""
	for _, pdf := range [][]byte{pressPDF(t, stock, samples()), makePDF(t, sampleJob("4x4", samples()))} {
		for _, no := range []string{"GTS_PDFX", "OutputIntents", "/Trapped", "RobotoCondensed"} {
			if bytes.Contains(pdf, []byte(no)) {
				t.Errorf("has %s", no)
			}
		}
		if !bytes.HasPrefix(pdf, []byte("%PDF-1.3\n")) {
			t.Errorf("begins with %q", pdf[:9])
		}
	}
	stock = pressStock(assess.RGB)
	pages, err := pagesOf((&Job{Stock: stock, Labels: entries(samples())}).Sheets())
	if err != nil {
		t.Fatal(err)
	}
	doc := Document{Title: "Labels", Language: "en", Date: sampleDate, Condition: stock.Condition}
	if _, err := WritePages(doc, pages); err == nil || !strings.Contains(err.Error(), "rgb") {
		t.Errorf("rgb: %v", err)
	}
	if _, err := WritePages(doc, []Page{{Size: Size{100, 100}}}); err == nil || !strings.Contains(err.Error(), "trim box") {
		t.Errorf("without a trim box: %v", err)
	}
}

// The same job gives the same bytes, and another condition others.
func TestPDFXSameBytes(t *testing.T) {
	sums := map[string]bool{}
	for range 5 {
		sums[fmt.Sprintf("%x", sha256.Sum256(pressPDF(t, pressStock(assess.Spot), samples())))] = true
	}
	if len(sums) != 1 {
		t.Errorf("%d different files", len(sums))
	}
	other := pressStock(assess.Spot)
	other.Condition = "FOGRA39"
	if sums[fmt.Sprintf("%x", sha256.Sum256(pressPDF(t, other, samples())))] {
		t.Error("the condition is not in the file")
	}
}
