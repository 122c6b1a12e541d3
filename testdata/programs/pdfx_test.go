package programs

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rule is what a claim of PDF/X-1a:2003 means for one kind of object. The clauses of ISO
// 15930-4 are named by their subjects, those of the PDF Reference (3rd edition, PDF 1.4) by
// their numbers; both are from memory.
type rule struct {
	clause string
	must   map[string]func(v any) bool // the keys that the object has, and what they say
	may    []string                    // other keys that it may have
}

func is(want string) func(any) bool { return func(v any) bool { return fmt.Sprint(v) == want } }
func like(expr string) func(any) bool {
	r := regexp.MustCompile("^(?:" + expr + ")$")
	return func(v any) bool { s, ok := v.(string); return ok && r.MatchString(s) }
}
func anything(any) bool { return true }

const (
	reference = `\d+ 0 R`
	subset    = `/[A-Z]{6}\+RobotoCondensed-(Regular|Medium|Bold)`
)

// rules are the kinds of objects that such a file consists of. What is not listed must not
// be there: that a file has no picture, pattern, form, graphics state, annotation, action,
// script, layer, attachment or encryption follows from the lists of kinds and keys.
var rules = map[string]rule{
	"trailer": {"PDF Reference 3.4.4 and 9.3; ISO 15930-4, ID; no encryption",
		map[string]func(any) bool{"/ID": twoIDs, "/Info": like(reference), "/Root": like(reference), "/Size": anything}, nil},
	// The key that tells a viewer not to scale is of a later version; a reader of 1.4 ignores it.
	"catalog": {"PDF Reference 3.6.1; ISO 15930-4, output intent; no actions, scripts, forms or layers",
		map[string]func(any) bool{"/Type": is("/Catalog"), "/Pages": like(reference), "/OutputIntents": oneIntent,
			"/Lang": like("u:en"), "/ViewerPreferences": is("map[/PrintScaling:/None]")}, nil},
	"info": {"PDF Reference 9.2.1; ISO 15930-4, identification, document information, trapping",
		map[string]func(any) bool{"/GTS_PDFXVersion": is("u:PDF/X-1a:2003"), "/Title": like("u:.+"), "/Creator": like("u:.+"),
			"/Producer": like("u:.+"), "/CreationDate": like(`u:D:\d{14}Z`), "/ModDate": like(`u:D:\d{14}Z`), "/Trapped": is("/False")}, nil},
	"pages": {"PDF Reference 3.6.2",
		map[string]func(any) bool{"/Type": is("/Pages"), "/Kids": anything, "/Count": anything, "/MediaBox": anything}, nil},
	"page": {"PDF Reference 3.6.2 and 9.10.1; ISO 15930-4, page boxes; no annotations, actions or transparency group",
		map[string]func(any) bool{"/Type": is("/Page"), "/Parent": like(reference), "/Resources": like(reference),
			"/Contents": like(reference), "/TrimBox": anything}, []string{"/MediaBox", "/BleedBox"}},
	"resources": {"PDF Reference 3.7.2; no pictures, patterns, shadings or graphics states",
		map[string]func(any) bool{"/ProcSet": anything, "/Font": anything, "/XObject": is("map[]"), "/ColorSpace": anything}, nil},
	"font": {"PDF Reference 5.6.5; ISO 15930-4, fonts",
		map[string]func(any) bool{"/Type": is("/Font"), "/Subtype": is("/Type0"), "/BaseFont": like(subset), "/Encoding": is("/Identity-H"),
			"/DescendantFonts": anything, "/ToUnicode": like(reference)}, nil},
	"cid font": {"PDF Reference 5.6.3; ISO 15930-4, fonts",
		map[string]func(any) bool{"/Type": is("/Font"), "/Subtype": is("/CIDFontType2"), "/BaseFont": like(subset), "/CIDSystemInfo": like(reference),
			"/CIDToGIDMap": like(reference), "/DW": anything, "/FontDescriptor": like(reference), "/W": anything}, nil},
	"descriptor": {"PDF Reference 5.7 and 5.8; ISO 15930-4, fonts: the font file is embedded",
		map[string]func(any) bool{"/Type": is("/FontDescriptor"), "/FontName": like(subset), "/FontFile2": like(reference), "/Flags": anything,
			"/FontBBox": anything, "/ItalicAngle": anything, "/Ascent": anything, "/Descent": anything, "/CapHeight": anything,
			"/StemV": anything, "/MissingWidth": anything}, nil},
	"system info": {"PDF Reference 5.6.2",
		map[string]func(any) bool{"/Registry": is("u:Adobe"), "/Ordering": is("u:UCS"), "/Supplement": is("0")}, nil},
	"separation": {"PDF Reference 4.5.5; ISO 15930-4, color spaces: the alternate is CMYK", nil, nil},
	// Compression other than Flate would be another filter.
	"stream":    {"PDF Reference 3.3; ISO 15930-4, compression", map[string]func(any) bool{"/Filter": is("/FlateDecode"), "/Length": anything}, nil},
	"font file": {"PDF Reference 5.8", map[string]func(any) bool{"/Filter": is("/FlateDecode"), "/Length": anything, "/Length1": anything}, nil},
}

func twoIDs(v any) bool {
	list, ok := v.([]any)
	return ok && len(list) == 2 && like("b:[0-9a-f]{32}")(list[0]) && list[0] == list[1] // never changed since
}

// oneIntent is an output intent with the name of the condition and of its registry, and
// no profile: the condition is registered.
func oneIntent(v any) bool {
	list, ok := v.([]any)
	return ok && len(list) == 1 && fmt.Sprint(list[0]) == "map[/Info:u:CGATS TR 001 /OutputCondition:u:CGATS TR 001 "+
		"/OutputConditionIdentifier:u:CGATS TR 001 /RegistryName:u:http://www.color.org /S:/GTS_PDFX /Type:/OutputIntent]"
}

// document is a PDF as qpdf reads it.
type document struct {
	t       *testing.T
	objects map[string]any // by reference; a stream is a map with "dict" and "data"
	trailer map[string]any
	seen    map[string]string // the kind of each object, by reference
}

func readPDF(t *testing.T, file string) *document {
	t.Helper()
	d := &document{t: t, objects: map[string]any{}, seen: map[string]string{}}
	// First the objects as they are in the file, then the data of the streams unpacked: with
	// it qpdf leaves out how they were packed.
	for _, streams := range [][]string{{"--json-stream-data=none"}, {"--json-stream-data=inline", "--decode-level=generalized"}} {
		var raw struct{ QPDF []json.RawMessage }
		if err := json.Unmarshal(run(t, "qpdf", slices.Concat([]string{"--json=2"}, streams, []string{file})...), &raw); err != nil {
			t.Fatal(err)
		}
		var head struct{ PDFVersion string }
		var all map[string]struct {
			Value  any
			Stream map[string]any
		}
		if len(raw.QPDF) != 2 || json.Unmarshal(raw.QPDF[0], &head) != nil || json.Unmarshal(raw.QPDF[1], &all) != nil {
			t.Fatal("not the JSON of qpdf")
		}
		if head.PDFVersion != "1.4" {
			t.Errorf("PDF %s; ISO 15930-4, PDF version", head.PDFVersion)
		}
		for name, o := range all {
			ref := strings.TrimPrefix(name, "obj:")
			switch was, _ := d.objects[ref].(map[string]any); {
			case name == "trailer":
				d.trailer, _ = o.Value.(map[string]any)
			case o.Stream == nil:
				d.objects[ref] = o.Value
			case was == nil:
				d.objects[ref] = o.Stream
			default:
				was["data"] = o.Stream["data"]
			}
		}
	}
	return d
}

// check holds an object, given or referred to, against the rule of its kind, and returns it.
func (d *document) check(kind string, v any) map[string]any {
	d.t.Helper()
	if ref, ok := v.(string); ok {
		if was := d.seen[ref]; was != "" && was != kind {
			d.t.Errorf("%s is %s and %s", ref, was, kind)
		}
		d.seen[ref] = kind
		v = d.objects[ref]
	}
	o, _ := v.(map[string]any)
	r, keys := rules[kind], o
	if dict, ok := o["dict"].(map[string]any); ok {
		keys = dict
	}
	for key, says := range r.must {
		if got, there := keys[key]; !there || !says(got) {
			d.t.Errorf("%s: %s: %s is %v", r.clause, kind, key, got)
		}
	}
	for key := range keys {
		if _, must := r.must[key]; !must && !slices.Contains(r.may, key) {
			d.t.Errorf("%s: %s has %s", r.clause, kind, key)
		}
	}
	return o
}

// data is the data of a stream.
func (d *document) data(stream map[string]any) string {
	encoded, _ := stream["data"].(string)
	b, err := base64.StdEncoding.DecodeString(encoded)
	if err != nil || len(b) == 0 {
		d.t.Errorf("a stream without data: %v", err)
	}
	return string(b)
}

// numbers are the numbers of a box.
func numbers(v any) (b [4]float64) {
	list, _ := v.([]any)
	for i := range min(len(list), 4) {
		b[i], _ = list[i].(float64)
	}
	return b
}

// A job for a print shop is PDF/X-1a:2003, object by object: a job of labels with slip and
// proof, of markings and of overlays, on spot and on process stock.
func TestPDFX(t *testing.T) {
	need(t, "qpdf", "pdfinfo", "pdffonts", "pdftoppm", "zbarimg")
	s := build(t)
	s.edit(t, "site.toml", "[[ladder]]", `[[stock]]
name = "press"
unit = "in"
label = [4, 4]
bleed = 0.125
crop_marks = true
output_condition = "CGATS TR 001"

[[stock]]
name = "sheet"
unit = "mm"
page = [210, 297]
label = [100, 100]
columns = 2
rows = 2
margin = [5, 40]
color = "process"
output_condition = "CGATS TR 001"

[[ladder]]`)
	for _, stock := range []string{"press", "sheet"} {
		for _, what := range []string{"label", "fault", "overlay"} {
			t.Run(stock+" "+what, func(t *testing.T) {
				pdf := filepath.Join(t.TempDir(), "job.pdf")
				args := []string{"print", "--stock", stock, "--kind", what, "--slip", "--proof", "--out", pdf}
				if what == "overlay" {
					args = append(args, "--only", s.doubt(t))
					defer os.Remove(filepath.Join(s.dir, "changes.toml"))
				}
				var m struct {
					PDFX            string
					OutputCondition string `json:"output_condition"`
					Proof           bool
					Sheets          int
				}
				s.call(t, &m, args...)
				if m.PDFX != "PDF/X-1a:2003" || m.OutputCondition != "CGATS TR 001" || !m.Proof {
					t.Errorf("the command says %+v", m)
				}
				pages := isPDFX(t, pdf, stock == "press")
				if pages < m.Sheets+2 {
					t.Errorf("%d pages for %d sheets with slip and proof", pages, m.Sheets)
				}
				proofReads(t, pdf, pages)
			})
		}
	}
}

// doubt logs a change that puts a printed label in question, and gives its id.
func (s site) doubt(t *testing.T) string {
	t.Helper()
	const id = "SEP-MC2"
	changes := fmt.Sprintf("[[change]]\ndate = 2026-04-20\nat = %q\nkind = \"motor load changed\"\nnote = \"invented\"\nby = \"E. Sample\"\n", id)
	if err := os.WriteFile(filepath.Join(s.dir, "changes.toml"), []byte(changes), 0o644); err != nil {
		t.Fatal(err)
	}
	return id
}

// isPDFX checks every object of a file, and returns how many pages it has.
func isPDFX(t *testing.T, pdf string, spot bool) int {
	t.Helper()
	run(t, "qpdf", "--check", pdf)
	fonts(t, pdf)
	// Another program's reading of the same entries.
	if said := string(run(t, "pdfinfo", pdf)); !strings.Contains(said, "PDF/X-1a:2003") || !strings.Contains(said, "ISO 15930-4") {
		t.Errorf("pdfinfo does not see PDF/X-1a:\n%s", said)
	}
	raw, err := os.ReadFile(pdf)
	if err != nil || !strings.HasPrefix(string(raw), "%PDF-1.4\n") || strings.Count(string(raw), "\nxref\n") != 1 {
		t.Errorf("PDF Reference 3.4: header, or more than one cross-reference table (%v)", err)
	}
	d := readPDF(t, pdf)
	d.check("trailer", d.trailer)
	d.check("info", d.trailer["/Info"])
	root := d.check("catalog", d.trailer["/Root"])
	tree := d.check("pages", root["/Pages"])
	kids, _ := tree["/Kids"].([]any)
	spaces, shown := map[string]bool{}, map[string]bool{}
	for i, kid := range kids {
		page := d.check("page", kid)
		d.boxes(i+1, tree, page)
		for name := range d.resources(page["/Resources"]) {
			spaces[name] = true
		}
		d.content(i+1, d.data(d.check("stream", page["/Contents"])), spaces, shown)
	}
	if spot != (len(spaces) > 0 && shown["scn"]) || spot == shown["k"] {
		t.Errorf("color spaces %v, operators %v", spaces, shown)
	}
	for ref := range d.objects {
		if d.seen[ref] == "" {
			t.Errorf("object %s is of no kind that was checked: %v", ref, d.objects[ref])
		}
	}
	return len(kids)
}

// boxes: ISO 15930-4, page boxes; PDF Reference 9.10.1. The trim box is in the bleed box,
// and that one in the medium.
func (d *document) boxes(n int, tree, page map[string]any) {
	d.t.Helper()
	media := numbers(tree["/MediaBox"])
	if own, ok := page["/MediaBox"]; ok {
		media = numbers(own)
	}
	bleed, trim := media, numbers(page["/TrimBox"])
	if own, ok := page["/BleedBox"]; ok {
		bleed = numbers(own)
	}
	for _, p := range [...][2][4]float64{{trim, bleed}, {bleed, media}} {
		in, out := p[0], p[1]
		if in[2] <= in[0] || in[3] <= in[1] || in[0] < out[0] || in[1] < out[1] || in[2] > out[2] || in[3] > out[3] {
			d.t.Errorf("page %d: boxes: trim %v, bleed %v, media %v", n, trim, bleed, media)
		}
	}
}

// resources checks fonts and color spaces, and returns the spaces' names.
func (d *document) resources(v any) map[string]any {
	d.t.Helper()
	r := d.check("resources", v)
	all, _ := r["/Font"].(map[string]any)
	mapped := 0
	for _, ref := range all {
		font := d.check("font", ref)
		d.check("stream", font["/ToUnicode"])
		list, _ := font["/DescendantFonts"].([]any)
		if len(list) != 1 {
			d.t.Errorf("PDF Reference 5.6.5: descendants %v", list)
			continue
		}
		cid := d.check("cid font", list[0])
		d.check("system info", cid["/CIDSystemInfo"])
		toGlyph := d.data(d.check("stream", cid["/CIDToGIDMap"]))
		desc := d.check("descriptor", cid["/FontDescriptor"])
		if font["/BaseFont"] != cid["/BaseFont"] || cid["/BaseFont"] != desc["/FontName"] {
			d.t.Errorf("PDF Reference 5.5.3: names %v, %v, %v", font["/BaseFont"], cid["/BaseFont"], desc["/FontName"])
		}
		file := d.check("font file", desc["/FontFile2"])
		dict, _ := file["dict"].(map[string]any)
		name, data := fmt.Sprint(desc["/FontName"]), d.data(file)
		if fmt.Sprint(dict["/Length1"]) != strconv.Itoa(len(data)) {
			d.t.Errorf("PDF Reference 5.8: %s is not of its length", name)
		}
		w, _ := cid["/W"].([]any)
		usual, _ := cid["/DW"].(float64)
		mapped += readTrueType(d.t, name, data).widths(d.t, name, toGlyph, w, usual)
	}
	if mapped < 50 {
		d.t.Errorf("only %d characters have a glyph", mapped)
	}
	spaces, _ := r["/ColorSpace"].(map[string]any)
	for name, ref := range spaces {
		d.seen[fmt.Sprint(ref)] = "separation"
		space, _ := d.objects[fmt.Sprint(ref)].([]any)
		if len(space) != 4 || space[0] != "/Separation" || !slices.Contains([]any{"/SAFETY ORANGE", "/SAFETY RED"}, space[1]) || space[2] != "/DeviceCMYK" {
			d.t.Errorf("%s: %s is %v", rules["separation"].clause, name, space)
			continue
		}
		tint, _ := space[3].(map[string]any)
		// PDF Reference 3.9.2: an exponential function, not a PostScript calculator.
		if fmt.Sprint(tint["/FunctionType"], tint["/N"], tint["/C0"]) != "2 1 [0 0 0 0]" {
			d.t.Errorf("%s: %v", rules["separation"].clause, tint)
		}
		for key := range tint {
			if !slices.Contains([]string{"/C0", "/C1", "/Domain", "/Range", "/FunctionType", "/N"}, key) {
				d.t.Errorf("%s: the tint function has %s", rules["separation"].clause, key)
			}
		}
	}
	return spaces
}

// content: ISO 15930-4, color spaces: only gray, CMYK and the named separations; no pictures,
// shadings, forms, graphics states or marked content. PDF Reference, appendix A, has the
// operators.
func (d *document) content(n int, s string, spaces, shown map[string]bool) {
	d.t.Helper()
	s = stringsIn.ReplaceAllString(s, " ")
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" \n\r\t[]", r) }) {
		if _, err := strconv.ParseFloat(word, 64); err == nil {
			continue
		}
		if word[0] == '/' {
			if strings.HasPrefix(word, "/CS") && !spaces[word] {
				d.t.Errorf("page %d: no color space %s", n, word)
			}
			continue
		}
		if !slices.Contains(strings.Fields("q Q cm w J j d re m l c h f S B BT ET Tf Td Tj TJ g G k K cs CS scn SCN"), word) {
			d.t.Errorf("page %d: operator %q", n, word)
		}
		shown[word] = true
	}
}

// stringsIn are the strings of a content stream; a parenthesis in one has a backslash.
var stringsIn = regexp.MustCompile(`(?s)\((?:\\.|[^\\()])*\)`)

// proofReads: the last page is the proof. It says so, and its code reads, as anything but
// a label's.
func proofReads(t *testing.T, pdf string, page int) {
	t.Helper()
	n := fmt.Sprint(page)
	text := strings.Join(strings.Fields(string(run(t, "pdftotext", "-f", n, "-l", n, pdf, "-"))), " ")
	for _, want := range []string{"PROOF: NOT FOR USE", "PDF/X-1a:2003, printing condition CGATS TR 001", "BLACK C0 M0 Y0 K100"} {
		if !strings.Contains(text, want) {
			t.Errorf("the proof has no %q: %s", want, text)
		}
	}
	file := filepath.Join(filepath.Dir(pdf), "proof")
	run(t, "pdftoppm", "-r", "200", "-gray", "-png", "-singlefile", "-f", n, "-l", n, pdf, file)
	code := strings.TrimSpace(string(run(t, "zbarimg", "-q", "--raw", file+".png")))
	if !strings.HasPrefix(code, "PROOF - NOT FOR USE") || strings.Contains(code, "HTTP") {
		t.Errorf("the proof's code reads %q", code)
	}
}
