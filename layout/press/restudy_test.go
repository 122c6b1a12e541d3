package press

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	pdfreader "github.com/ledongthuc/pdf"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// pageText is what another program reads on the pages of a PDF, in its order,
// without white.
func pageText(t *testing.T, pdf []byte) string {
	t.Helper()
	r, err := pdfreader.NewReader(bytes.NewReader(pdf), int64(len(pdf)))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i := range r.NumPage() {
		for _, x := range r.Page(i + 1).Content().Text {
			b.WriteString(x.S)
		}
	}
	return strings.Join(strings.Fields(b.String()), "")
}

// A restudy on paper names every location and why its label changes, says first
// what is to be covered, and is the same bytes each time.
func TestRestudyPDF(t *testing.T) {
	v := view(t, "A/P-1", "A/P-2", "B/P-3", "B/P-4", "B/P-5")
	h := &record.History{Ledger: &record.Ledger{}, Labels: map[string]record.Printing{}}
	for i := range v.Places {
		r := v.Places[i].Record
		_, id, err := r.Encode()
		if err != nil {
			t.Fatal(err)
		}
		h.Labels[r.Location.ID] = record.Printing{Label: &record.Label{ID: id, Since: v.Today, Printed: v.Today}, Record: r}
	}
	of := func(change func(*assess.Site)) *plant.Plant {
		s := *v.Site
		s.Locations = slices.Clone(s.Locations)
		for i := range s.Locations {
			s.Locations[i].Cases = slices.Clone(s.Locations[i].Cases)
		}
		change(&s)
		p, err := plant.New(&s, h, v.Today, nil)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	r := plant.NewRestudy(of(func(*assess.Site) {}), of(func(s *assess.Site) {
		s.Locations[0].Cases[0].Energy = 9
		s.Locations[0].Cases[0].Boundary = 1500
		s.Locations[1].Cases[0].FedFrom = []string{"nowhere"}
		s.Locations[2].Cases[0].Fault = 12
		s.Locations = slices.Delete(s.Locations, 3, 4)
	}), nil)
	for _, paper := range layout.Papers {
		pdf, err := RestudyPDF(r, "studies/R-27.xlsx", &v.Site.Policy, paper)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := RestudyPDF(r, "studies/R-27.xlsx", &v.Site.Policy, paper); err != nil || !bytes.Equal(pdf, again) {
			t.Errorf("%s: other bytes the second time, %v", paper.Name, err)
		}
		text := pageText(t, pdf)
		at := 0
		for _, want := range []string{"Restudy: what changes on the labels", "Invented", "studies/R-27.xlsx · 2026-05-01", "1 printed label is too low: cover it now.",
			"1COVER: printed too low", "How to read this", "COVER: printed too low · 1", "P-1before5.0 cal/cm²42 inWARNING Kit A2026-03-14",
			"now9.0 cal/cm²60 inWARNING Kit A2026-03-14", "Panel · A", "Too low: energy 9.0 cal/cm², above the printed 5.0 cal/cm²; boundary 60 in, above the printed 42 in",
			"To do: cover the label now", "Not printed · 1", "P-2", `Not printed: "nowhere" is not a location`, "Also: fed_from (empty) to nowhere",
			"The label changes · 1", "P-3", "Also: available fault current none to 12 kA", "Deleted locations · 1", "P-4before", "The label stays · 1", "P-55.0 cal/cm²",
			"Cautions", "qualified persons only"} {
			want = strings.Join(strings.Fields(want), "")
			next := strings.Index(text[at:], want)
			if next < 0 {
				t.Fatalf("%s: no %q behind %q in\n%s", paper.Name, want, text[max(0, at-30):at], text)
			}
			at += next + len(want)
		}
		if strings.Contains(text, "?") || strings.Contains(text, "→") {
			t.Errorf("%s: a sign that the typeface lacks\n%s", paper.Name, text)
		}
	}
	same := of(func(*assess.Site) {})
	pdf, err := RestudyPDF(plant.NewRestudy(same, same, nil), "R", &v.Site.Policy, layout.Papers[0])
	if err != nil || !strings.Contains(pageText(t, pdf), "Noprintedlabelistoolow.") {
		t.Errorf("all as it was: %v", err)
	}
	// Without any label there is nothing to cover, and nothing is said of it.
	pdf, err = RestudyPDF(plant.NewRestudy(nil, view(t, "P-1"), nil), "R", &v.Site.Policy, layout.Papers[0])
	if text := pageText(t, pdf); err != nil || strings.Contains(text, "toolow") || !strings.Contains(text, "Newlocations") {
		t.Errorf("a first study: %v\n%s", err, text)
	}
}
