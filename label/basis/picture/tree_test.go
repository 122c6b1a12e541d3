package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// hostile are names that could be taken for markup, end an attribute, or turn a
// line round.
var hostile = []string{`</text><script>alert(1)</script>`, `"><a href="javascript:x()">`, `&amp;<!-- ]]>`, `' onload='x()`, "a\u202eb\u0007c"}

// plant is an invented site of every shape: a fan, two feeds, ties, a loop, a
// feed that is not a location, a deep chain.
func invented(t *testing.T) *report.Tree {
	t.Helper()
	prepared, err := assess.ParseDate("2026-03-14")
	if err != nil {
		t.Fatal(err)
	}
	s := &assess.Site{Policy: assess.Policy{Name: hostile[0], Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, NoticeDays: 90, Govern: assess.Larger,
		Ladder: []assess.Rung{{Kit: "WWWW mmmm & <b>", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	up := map[string][]string{"SWB": {"UTL"}, "MCC": {"SWB", "GEN"}, "TIE": {"GEN", "SWB"}, "A": {"B"}, "B": {"A"}, "C": {"B"}, "LOST": {"NOWHERE <i>"}}
	tied := map[string][]string{"SWB": {"MCC"}, "deep-3": {"C", "MCC"}, "LOST": {"NOWHERE <i>"}, hostile[0]: {hostile[1]}}
	ids := append([]string{"UTL", "SWB", "MCC", "GEN", "TIE", "A", "B", "C", "LOST"}, hostile...)
	for k := range 30 {
		id := fmt.Sprintf("deep-%d", k)
		up[id] = []string{ids[len(ids)-1]}
		ids = append(ids, id)
	}
	for i, id := range ids {
		s.Locations = append(s.Locations, assess.Location{ID: id, Area: hostile[i%len(hostile)], Equipment: strings.Repeat("Ämne WM 0123456789 ", 1+i%3), Supply: shock.AC3, Voltage: 13800, Distance: 457.2,
			Cases: []assess.Case{{FedFrom: up[id], TiedTo: tied[id], Method: assess.Stated, Energy: assess.CalCM2(3 * i), Boundary: 42 * assess.MMPerInch, Prepared: prepared}}})
	}
	v, err := plant.New(s, nil, prepared, nil)
	if err != nil {
		t.Fatal(err)
	}
	tree := report.NewTree(v)
	states := append([]standing.Status{plant.NotPrinted}, standing.States...)
	for i := range tree.Rows { // as if labels of every state were mounted there
		if r := &tree.Rows[i]; r.Full() {
			r.State = string(states[i%len(states)])
			r.Code = record.Code(fmt.Sprintf("7K3M-9QTD-RC4A-%04d", i))
		}
	}
	tree.States = nil
	for _, state := range states {
		tree.States = append(tree.States, report.StateCount{State: string(state), Count: 2})
	}
	return tree
}

// element is one element of a drawing.
type element struct {
	name       string
	attributes map[string]string
	text       string // directly inside
}

// elements reads a drawing by the standard library's reader, which refuses what
// is not well-formed.
func elements(t *testing.T, svg []byte) []element {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	d.Strict = true
	var all []element
	var open []int
	for {
		token, err := d.Token()
		if err == io.EOF {
			return all
		}
		if err != nil {
			t.Fatalf("%v in %.300s…", err, svg)
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := element{name: x.Name.Local, attributes: map[string]string{}}
			for _, a := range x.Attr {
				if _, twice := e.attributes[a.Name.Local]; twice {
					t.Errorf("%s has %s twice", e.name, a.Name.Local)
				}
				e.attributes[a.Name.Local] = a.Value
			}
			open = append(open, len(all))
			all = append(all, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].text += string(x)
			}
		default:
			t.Errorf("neither element nor text: %#v", token)
		}
	}
}

func linked(code record.Code) string { return "/v/" + string(code) + `?a=1&b="2"` }

// Only elements that draw, only attributes that a page's policy allows
// (style-src 'self' forbids style attributes and elements: CSP Level 3, 6.7.3),
// and the owner's texts come out as they went in.
func TestTreeIsInert(t *testing.T) {
	tree := invented(t)
	allowed := map[string]string{
		"svg": "xmlns width height viewBox role aria-label font-family font-size fill color", "title": "", "desc": "",
		"path": "d fill stroke stroke-width stroke-dasharray fill-rule stroke-linecap stroke-linejoin transform", "circle": "cx cy r fill stroke stroke-width stroke-dasharray",
		"g": "transform color", "a": "href", "text": "x y fill font-size font-weight text-anchor text-decoration",
	}
	for _, o := range []TreeOptions{{Title: hostile[1]}, {Title: hostile[2], Desc: hostile[3], Headed: true, States: tree.States, Foot: hostile, Link: linked}} {
		all := elements(t, Tree(tree.Rows, o))
		seen := map[string]bool{}
		links := 0
		for _, e := range all {
			names, ok := allowed[e.name]
			if !ok {
				t.Errorf("an element %s", e.name)
			}
			for a := range e.attributes {
				if !slices.Contains(strings.Fields(names), a) {
					t.Errorf("%s has an attribute %s", e.name, a)
				}
			}
			if e.name == "a" {
				links++
				if !strings.HasPrefix(e.attributes["href"], "/v/7K3M-") || !strings.HasSuffix(e.attributes["href"], `&b="2"`) {
					t.Errorf("a link to %s", e.attributes["href"])
				}
			}
			seen[e.text] = true
		}
		want := []string{report.Printable(o.Title)}
		full := 0
		for i := range tree.Rows {
			r := &tree.Rows[i]
			if !r.Full() {
				want = append(want, report.Printable(r.Pointer()))
				continue
			}
			full++
			signal, rest := r.LabelWords()
			for _, s := range []string{r.ID, r.StandingWords(), signal, rest, r.Supply} {
				if s != "" {
					want = append(want, report.Printable(s))
				}
			}
			if !slices.ContainsFunc(all, func(e element) bool {
				return strings.HasPrefix(e.text, report.Printable(r.Equipment+" · "+r.Area))
			}) {
				t.Errorf("%s: its equipment and area are not drawn", r.ID)
			}
		}
		for _, s := range append(want, o.Foot...) {
			if !seen[report.Printable(s)] {
				t.Errorf("%q is not drawn", s)
			}
		}
		// An image hides its links from a screen reader (WAI-ARIA 1.2, img:
		// children presentational).
		root := all[0].attributes
		if role := root["role"]; (role == "img") != (links == 0) || role != "img" && role != "group" ||
			root["aria-label"] != report.Printable(o.Title) {
			t.Errorf("%d links and role %s, named %q", links, role, root["aria-label"])
		}
		if o.Link != nil && links != full {
			t.Errorf("%d links of %d rows", links, full)
		}
		if root["viewBox"] != "0 0 "+root["width"]+" "+root["height"] {
			t.Errorf("view box %s of %s by %s", root["viewBox"], root["width"], root["height"])
		}
	}
	elements(t, Tree(nil, TreeOptions{}))
}

// In any cut of the tree the branches that leave a row below are those that
// enter the next one above, and a row's own begins there.
func TestBranchesMeet(t *testing.T) {
	tree := invented(t)
	step := regexp.MustCompile(`M(\d+) (\d+)V(\d+)`)
	for _, cut := range [][2]int{{0, len(tree.Rows)}, {3, len(tree.Rows)}, {9, len(tree.Rows) - 4}, {len(tree.Rows) - 20, len(tree.Rows) - 1}} {
		rows := tree.Rows[cut[0]:cut[1]]
		leave, enter := map[int][]string{}, map[int][]string{} // trunks by the y of an edge
		for _, e := range elements(t, Tree(rows, TreeOptions{})) {
			if e.attributes["stroke-width"] != "1.5" {
				continue
			}
			for _, m := range step.FindAllStringSubmatch(e.attributes["d"], -1) {
				from, _ := strconv.Atoi(m[2])
				to, _ := strconv.Atoi(m[3])
				if (from-margin/2)%pitch == 0 {
					enter[from] = append(enter[from], m[1])
				}
				if (to-margin/2)%pitch == 0 {
					leave[to] = append(leave[to], m[1])
				}
			}
		}
		met := 0
		for i := 1; i < len(rows); i++ {
			y := margin/2 + i*pitch
			a, b := leave[y], enter[y]
			slices.Sort(a)
			slices.Sort(b)
			if !slices.Equal(a, b) {
				t.Errorf("rows %d to %d, above %s: %v leave, %v enter", cut[0], cut[1], rows[i].ID, a, b)
			}
			met += len(a)
		}
		if top := len(enter[margin/2]); met == 0 || (top > 0) != (rows[0].Level > 0) {
			t.Errorf("rows %d on: %d branches meet, %d come in at the top of level %d", cut[0], met, top, rows[0].Level)
		}
	}
}

// No text reaches into the next one of its line, nor out of the drawing, by the
// widths of the Go faces, which nothing in the program uses.
func TestTextsStandApart(t *testing.T) {
	faces := map[bool]*sfnt.Font{}
	for bold, ttf := range map[bool][]byte{false: goregular.TTF, true: gobold.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		faces[bold] = f
	}
	measure := func(text string, size float64, bold bool) float64 {
		var b sfnt.Buffer
		sum := fixed.Int26_6(0)
		for _, r := range text {
			g, _ := faces[bold].GlyphIndex(&b, r)
			w, err := faces[bold].GlyphAdvance(&b, g, fixed.I(100), font.HintingNone)
			if err != nil {
				t.Fatal(err)
			}
			sum += w
		}
		return float64(sum) / 64 / 100 * size
	}
	tree := invented(t)
	all := elements(t, Tree(tree.Rows, TreeOptions{Title: tree.Title(), Headed: true, States: tree.States, Foot: []string{"holds: no change logged since the survey"}}))
	width, _ := strconv.ParseFloat(all[0].attributes["width"], 64)
	type span struct {
		from, to float64
		text     string
	}
	lines := map[int][]span{}
	for _, e := range all {
		if e.name != "text" {
			continue
		}
		x, _ := strconv.ParseFloat(e.attributes["x"], 64)
		y, _ := strconv.Atoi(e.attributes["y"])
		px, err := strconv.ParseFloat(e.attributes["font-size"], 64)
		if err != nil {
			px = size
		}
		w := measure(e.text, px, e.attributes["font-weight"] == "700")
		if e.attributes["text-anchor"] == "middle" {
			if w > badge-14 {
				t.Errorf("%s is %.1f wide in a panel of %d", e.text, w, badge)
			}
			x -= w / 2
			y++ // the smaller letters are a pixel higher
		}
		lines[y] = append(lines[y], span{x, x + w, e.text})
	}
	if len(lines) < len(tree.Rows) {
		t.Fatalf("%d lines of %d rows", len(lines), len(tree.Rows))
	}
	for _, spans := range lines {
		slices.SortFunc(spans, func(a, b span) int { return int(math.Copysign(1, a.from-b.from)) })
		for i, s := range spans {
			if next := append(spans, span{from: width})[i+1]; s.to+3 > next.from || s.from < margin {
				t.Errorf("%q from %.0f to %.0f, then %q from %.0f", s.text, s.from, s.to, next.text, next.from)
			}
		}
	}
}

// luminance is that of WCAG 2.2.
func luminance(t *testing.T, color string) float64 {
	n, err := strconv.ParseUint(strings.TrimPrefix(color, "#"), 16, 32)
	if err != nil || len(color) != 7 {
		t.Fatalf("no color: %q", color)
	}
	part := func(shift int) float64 {
		c := float64(n>>shift&0xFF) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

// Texts reach 4.5 to 1 (WCAG 2.2, 1.4.3), signs and branches 3 to 1 (1.4.11).
func TestContrastOfTree(t *testing.T) {
	contrast := func(a, b string) float64 {
		x, y := luminance(t, a)+0.05, luminance(t, b)+0.05
		return max(x, y) / min(x, y)
	}
	if c := contrast("#000000", "#ffffff"); math.Abs(c-21) > 1e-9 { // as WCAG says
		t.Fatalf("black on white: %g", c)
	}
	tree := invented(t)
	all := elements(t, Tree(tree.Rows, TreeOptions{Link: linked, States: tree.States}))
	behind := "#ffffff"
	texts := 0
	for _, e := range all {
		fill := e.attributes["fill"]
		switch e.name {
		case "path":
			behind = "#ffffff"
			if e.attributes["transform"] != "" { // a panel, with its word behind it
				behind = fill
			}
		case "text":
			texts++
			if fill == "" {
				fill = all[0].attributes["fill"]
			}
			if c := contrast(fill, behind); c < 4.5 {
				t.Errorf("%q: %s on %s is %.2f", e.text, fill, behind, c)
			}
			behind = "#ffffff"
		case "g":
			if c := contrast(e.attributes["color"], "#ffffff"); c < 3 {
				t.Errorf("a sign in %s: %.2f", e.attributes["color"], c)
			}
		}
	}
	if texts < 5*len(tree.Rows)/2 {
		t.Errorf("%d texts", texts)
	}
}

// Every state has a sign of its own, in the color around it, without words.
func TestShapes(t *testing.T) {
	seen := map[string]string{}
	names := []string{plant.NotPrinted, Differs, Unknown}
	for _, s := range standing.States {
		names = append(names, string(s))
	}
	for _, name := range names {
		s := Shape(name)
		if other, twice := seen[s]; twice {
			t.Errorf("%s looks like %s", name, other)
		}
		seen[s] = name
		for _, e := range elements(t, []byte("<g>"+s+"</g>"))[1:] {
			if e.name != "path" && e.name != "circle" || e.text != "" {
				t.Errorf("%s has a %s", name, e.name)
			}
			for _, a := range []string{"fill", "stroke"} {
				if v := e.attributes[a]; v != "" && v != "none" && v != "currentColor" {
					t.Errorf("%s: %s %s", name, a, v)
				}
			}
		}
	}
	if Shape("of no such name") != Shape(Unknown) {
		t.Error("a name that is not known")
	}
}
