package basis

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

const (
	first  = "R-2026.xlsx Results 17"
	second = "R-2028.xlsx Results 18"
)

// works is a folder with one location, whose label is printed as its row is.
type works struct {
	t    *testing.T
	dir  string
	site assess.Site
}

func newWorks(t *testing.T, sources ...string) *works {
	w := &works{t: t, dir: t.TempDir()}
	w.site = assess.Site{Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
		Locations: []assess.Location{{ID: "A", Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2}}}
	l := &w.site.Locations[0]
	for i, s := range sources {
		l.Cases = append(l.Cases, assess.Case{Name: [...]string{"", "tie open", "tie closed"}[(i+1)*min(1, len(sources)-1)], Energy: 5, Boundary: 1200, Fault: 18,
			Method: assess.Stated, Prepared: w.day("2026-03-14"), Source: s})
	}
	return w
}

func (w *works) day(s string) assess.Date {
	w.t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		w.t.Fatal(err)
	}
	return d
}

// take takes a study in.
func (w *works) take(file, date string) {
	w.t.Helper()
	old, _ := os.ReadFile(filepath.Join(w.dir, assess.LocationsFile))
	_, err := record.Open(w.dir).TakeIn(record.Taken{Date: w.day(date), By: "E. Sample", Tool: "v1", Study: record.Kept{Name: file, Data: []byte(file)},
		Files: []record.Replaced{{Name: assess.LocationsFile, Old: old, New: []byte(file)}}})
	if err != nil {
		w.t.Fatal(err)
	}
}

// shelf is the site on a day.
func (w *works) shelf(date string) *Shelf {
	w.t.Helper()
	h, err := record.Open(w.dir).History(w.day(date))
	if err != nil {
		w.t.Fatal(err)
	}
	v, err := plant.New(&w.site, h, w.day(date), nil)
	if err != nil {
		w.t.Fatal(err)
	}
	return NewShelf(v, record.Open(w.dir))
}

// print prints the label as its row is.
func (w *works) print(date string) {
	w.t.Helper()
	out, err := record.Prepare(filepath.Join(w.dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		w.t.Fatal(err)
	}
	r := w.shelf(date).Site.Places[0].Record
	if err := record.Open(w.dir).Carry(record.Job{Kind: record.Print, Date: w.day(date), Stock: "4x4", Sheet: []record.Sheet{{Record: r}}}, out); err != nil {
		w.t.Fatal(err)
	}
}

func (w *works) view(date string) *View {
	w.t.Helper()
	v, err := w.shelf(date).Find("A")
	if err != nil {
		w.t.Fatal(err)
	}
	return v
}

// text is a view as a person reads it, in one line.
func (w *works) text(v *View) string {
	w.t.Helper()
	var b strings.Builder
	if err := v.Text(&b, 10000); err != nil {
		w.t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func (w *works) has(v *View, want ...string) {
	w.t.Helper()
	text := w.text(v)
	for _, s := range want {
		if !strings.Contains(text, s) {
			w.t.Errorf("no %q in %s", s, text)
		}
	}
}

// A label leads back to file, sheet and row, and to what the ledger knows of
// the file on that day.
func TestSource(t *testing.T) {
	w := newWorks(t, first)
	w.print("2026-05-01")
	const unknown = "Source R-2026.xlsx, Results, row 17 the ledger does not name this file: nothing proves what it said"
	w.has(w.view("2026-05-02"), unknown)
	w.take("R-2026.xlsx", "2026-05-03")
	w.has(w.view("2026-05-02"), unknown) // nor does it on that day
	v := w.view("2026-05-03")
	sum := record.SHA256([]byte("R-2026.xlsx"))
	w.has(v, "Source R-2026.xlsx, Results, row 17 studies/R-2026.xlsx, taken in on 2026-05-03 by E. Sample, SHA-256 "+sum)
	want := []Source{{Text: first, File: "R-2026.xlsx", Sheet: "Results", Row: 17, SHA256: sum, Taken: w.day("2026-05-03"), By: "E. Sample"}}
	if !reflect.DeepEqual(v.Sources, want) {
		t.Errorf("%+v", v.Sources)
	}
	data, err := json.Marshal(v.JSON())
	if err != nil {
		t.Fatal(err)
	}
	if want := `"sources":[{"source":"R-2026.xlsx Results 17","file":"R-2026.xlsx","sheet":"Results","row":17,"sha256":"` + sum +
		`","taken_in":"2026-05-03","by":"E. Sample"}]`; !strings.Contains(string(data), want) {
		t.Errorf("no %s in %s", want, data)
	}
	draft, err := w.shelf("2026-05-03").Draft("A")
	if err != nil || !reflect.DeepEqual(draft.Sources, want) {
		t.Errorf("%+v, %v", draft.Sources, err)
	}
}

// The same facts from another file are the same label, with its code; its page
// tells both sources. Other facts are another label.
func TestNewerSource(t *testing.T) {
	w := newWorks(t, first)
	w.take("R-2026.xlsx", "2026-05-01")
	w.print("2026-05-01")
	was := w.view("2026-05-01")
	w.take("R-2028.xlsx", "2028-05-01")
	c := &w.site.Locations[0].Cases[0]
	c.Source = second
	w.print("2028-05-02")
	v := w.view("2028-05-02")
	if v.ID != was.ID || len(v.Standing.Reasons) > 0 || v.Record.Location.Cases[0].Source != first {
		t.Fatalf("%s, then %s: %v", was.ID.Code(), v.ID.Code(), v.Standing.Reasons)
	}
	sum := record.SHA256([]byte("R-2028.xlsx"))
	w.has(v, "Source R-2026.xlsx, Results, row 17 studies/R-2026.xlsx, taken in on 2026-05-01",
		"Source of the row now R-2028.xlsx, Results, row 18 the row has the same facts from this source, so the record stays as it is; "+
			"studies/R-2028.xlsx, taken in on 2028-05-01 by E. Sample, SHA-256 "+sum)
	if n := v.Sources[0].Newer; n == nil || n.SHA256 != sum || n.Text != second || n.Newer != nil {
		t.Errorf("%+v", v.Sources)
	}
	if draft, err := w.shelf("2028-05-02").Draft("A"); err != nil || draft.ID != was.ID || draft.Sources[0].Newer == nil {
		t.Errorf("%+v, %v", draft, err)
	}

	// A row that says something else is the source of another label, not of this one.
	c.Energy = 6
	if v := w.view("2028-05-02"); v.Sources[0].Newer != nil {
		t.Errorf("%+v", v.Sources[0].Newer)
	}
	w.print("2028-05-03")
	if v := w.view("2028-05-03"); v.ID == was.ID || v.Sources[0].Text != second || v.Sources[0].Newer != nil {
		t.Errorf("%+v", v.Sources)
	}
	old, err := w.shelf("2028-05-03").View(was.ID)
	if err != nil || old.Sources[0].Text != first || old.Sources[0].Newer != nil {
		t.Errorf("%+v, %v", old.Sources, err)
	}
}

// A label from before studies were taken in tells nothing of a source, and that
// of its row where that has one.
func TestSourceNotNoted(t *testing.T) {
	w := newWorks(t, "")
	w.print("2026-05-01")
	v := w.view("2026-05-01")
	if v.Sources != nil || strings.Contains(w.text(v), "Source ") {
		t.Errorf("%+v", v.Sources)
	}
	if data, _ := json.Marshal(v.JSON()); !strings.Contains(string(data), `"sources":[]`) {
		t.Errorf("%s", data)
	}
	w.site.Locations[0].Cases[0].Source = first
	w.has(w.view("2026-05-01"), "Source not noted the row had none when this label was first printed", "Source of the row now R-2026.xlsx, Results, row 17")
	w.site.Locations[0].Cases[0].Source = "report of 2026, page 3"
	w.has(w.view("2026-05-01"), "Source of the row now report of 2026, page 3 the row has the same facts from this source, so the record stays as it is; "+
		"from the row; it does not name a file that was taken in")
	// A row that no longer tells leaves the record's.
	w = newWorks(t, "report of 2026, page 3")
	w.print("2026-05-01")
	w.site.Locations[0].Cases[0].Source = ""
	v = w.view("2026-05-01")
	if w.has(v, "Source report of 2026, page 3 from the row"); v.Sources[0].Newer != nil {
		t.Errorf("%+v", v.Sources)
	}
}

// Each case has its own; one that all have is told once.
func TestSourceOfCases(t *testing.T) {
	w := newWorks(t, first, second)
	w.print("2026-05-01")
	v := w.view("2026-05-01")
	if w.has(v, "Source, case tie open R-2026.xlsx, Results, row 17", "Source, case tie closed R-2028.xlsx, Results, row 18"); len(v.Sources) != 2 {
		t.Errorf("%+v", v.Sources)
	}
	w.site.Locations[0].Cases[1].Source = first
	if v := w.view("2026-05-01"); len(v.Sources) != 2 || v.Sources[1].Newer == nil {
		t.Errorf("%+v", v.Sources)
	} else {
		w.has(v, "Source of the row now, case tie closed R-2026.xlsx")
	}
	w = newWorks(t, first, first)
	w.print("2026-05-01")
	if v := w.view("2026-05-01"); len(v.Sources) != 1 || v.Sources[0].Case != "" {
		t.Errorf("%+v", v.Sources)
	}
	w.site.Locations[0].Cases[1].Source = second
	if v := w.view("2026-05-01"); len(v.Sources) != 2 {
		t.Errorf("one of two is newer: %+v", v.Sources)
	}
	w.site.Locations[0].Cases[0].Source = second
	if v := w.view("2026-05-01"); len(v.Sources) != 1 || v.Sources[0].Newer.Text != second {
		t.Errorf("both are newer: %+v", v.Sources)
	}
	w.site.Locations[0].Cases[0].Source = "R-2028.xlsx Results 17"
	if v := w.view("2026-05-01"); len(v.Sources) != 2 {
		t.Errorf("each is newer by its own: %+v", v.Sources)
	}
	w = newWorks(t, first, "")
	w.print("2026-05-01")
	if v := w.view("2026-05-01"); len(v.Sources) != 1 || v.Sources[0].Case != "tie open" {
		t.Errorf("%+v", v.Sources)
	}
}

// The text of a file's name is shown as it is; a study of another name is not
// taken for it.
func TestSourceOfAnotherFile(t *testing.T) {
	w := newWorks(t, "r-2026.xlsx Results 17")
	w.take("R-2026.xlsx", "2026-05-01")
	w.take("S.csv", "2026-05-01")
	w.print("2026-05-01")
	w.has(w.view("2026-05-01"), "Source r-2026.xlsx, Results, row 17 the ledger does not name this file")
	w = newWorks(t, "S.locations-before.csv 17") // kept, and no study
	w.take("R-2026.xlsx", "2026-05-01")
	w.take("S.csv", "2026-05-01")
	w.print("2026-05-01")
	w.has(w.view("2026-05-01"), "Source S.locations-before.csv, row 17 the ledger does not name this file")
}
