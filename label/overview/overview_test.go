package overview

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"sync/atomic"
	"testing"
	"testing/iotest"

	"vouchmark/assess"
	"vouchmark/label/report"
	"vouchmark/testdata/suite"
)

func day(t testing.TB, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// summary is of an invented plant.
func summary(t testing.TB, name, checked string, labels report.StandingSum, due ...report.DueMonth) *report.Summary {
	return &report.Summary{Form: report.SummaryForm, Site: name, Checked: day(t, checked), Labels: labels, Due: due, Stale: 7,
		Changes: report.OpenChanges{Count: labels.InQuestion}, Round: report.RoundSum{NotRight: labels.Cover}}
}

// What is not known comes first, then what nobody checked for too long, then what must be covered; and every
// total is that of the plants that could be read, each counted once.
func TestWorstFirst(t *testing.T) {
	type one = struct {
		s      *report.Summary
		ledger string
		err    error
	}
	fine := report.StandingSum{Holds: 5, Ready: 1}
	of := map[string]one{
		"fine":   {summary(t, "Fine", "2026-05-20", fine, report.DueMonth{Month: "2027-01", Labels: 2}), "a", nil},
		"again":  {summary(t, "Fine", "2026-05-20", fine), "a", nil},
		"asked":  {summary(t, "Asked", "2026-05-20", report.StandingSum{InQuestion: 7, Holds: 1}), "b", nil},
		"cover":  {summary(t, "Cover", "2026-05-20", report.StandingSum{InQuestion: 1, Cover: 1}), "c", nil},
		"stale":  {summary(t, "Stale", "2026-05-12", fine, report.DueMonth{Month: "2026-04", Devices: 3}, report.DueMonth{Month: "2027-01", Labels: 1}), "d", nil},
		"edge":   {summary(t, "Edge", "2026-05-13", report.StandingSum{Holds: 1}), "e", nil}, // seven days ago
		"ahead":  {summary(t, "Ahead", "2026-05-21", report.StandingSum{Holds: 1}), "f", nil},
		"broken": {nil, "", errors.New("no answer")},
		"new1":   {summary(t, "New", "2026-05-20", report.StandingSum{Ready: 1}), "", nil}, // no ledger yet: nothing says that
		"new2":   {summary(t, "New", "2026-05-20", report.StandingSum{Ready: 1}), "", nil}, // they are one plant
	}
	places := []string{"fine", "again", "new1", "asked", "new2", "cover", "edge", "stale", "ahead", "broken"}
	var now, most atomic.Int64
	read := func(place string) (Reading, error) {
		n := now.Add(1)
		for old := most.Load(); n > old && !most.CompareAndSwap(old, n); old = most.Load() {
		}
		defer now.Add(-1)
		o := of[place]
		return Reading{Summary: o.s, Ledger: o.ledger}, o.err
	}
	o := New(places, day(t, "2026-05-20"), 3, read)
	var order []string
	for i := range o.Plants {
		order = append(order, o.Plants[i].Place)
	}
	if got, want := strings.Join(order, " "), "again broken ahead stale cover asked edge fine new1 new2"; got != want {
		t.Errorf("order %s, want %s", got, want)
	}
	if most.Load() > 3 {
		t.Errorf("%d at once", most.Load())
	}
	due := []Month{{report.DueMonth{Month: "2026-04", Devices: 3}, 1, true}, {report.DueMonth{Month: "2027-01", Labels: 3}, 2, false}}
	want := Totals{Plants: 10, Unreadable: 2, Stale: 1, Ahead: 1, Due: due, NotRight: 1, Changes: report.OpenChanges{Count: 8},
		Labels: report.StandingSum{Cover: 1, InQuestion: 8, Holds: 13, Ready: 4}}
	if !reflect.DeepEqual(o.Totals, want) {
		t.Errorf("totals %+v, want %+v", o.Totals, want)
	}
	if o.Complete() || !strings.Contains(o.Plants[0].Problem, "the same plant as fine") {
		t.Errorf("a plant that is named twice: %+v", o.Plants[0])
	}
	var text strings.Builder
	if o.Text(&text, 100); !strings.Contains(text.String(), "broken: no answer") || !strings.Contains(text.String(), "2026-05-12, stale") {
		t.Error(text.String())
	}
}

const head = `{"pages": "vouchmark", "site": "Invented Works", "ledger": "ab", "head": "cd", "log": 3, "checked": "2026-05-01", `
const sound = `"summary": {"form": 1, "site": "Invented Works", "checked": "2026-05-01", "labels": {"holds": 3}, "due": [{"month": "2027-01", "labels": 1}], "stale_days": 7}`

// Only the start of a site.json is read; what it says is taken as it is or refused, never in part.
func TestPublished(t *testing.T) {
	long := `"files": {` + strings.Repeat(`"V/X/index.html": {"data": "00"}, `, 100_000)
	for name, c := range map[string]struct{ text, wrong string }{
		"sound":               {head + sound + `, "program": "x", "files": {}}`, ""},
		"more than is read":   {head + sound + `, "program": "x", ` + long, ""},
		"nothing behind":      {head + sound + `}`, ""},
		"a later version":     {head + strings.Replace(sound, `"form": 1`, `"new": [1], "form": 1`, 1) + `}`, ""},
		"older":               {head + `"program": "x", "files": {}}`, "publish it again"},
		"much older":          {head[:len(head)-2] + `}`, "publish it again"},
		"a later form":        {head + strings.Replace(sound, `"form": 1`, `"form": 2`, 1) + `}`, "later version"},
		"no form":             {head + strings.Replace(sound, `"form": 1`, `"form": 0`, 1) + `}`, "no form"},
		"fewer than none":     {head + strings.Replace(sound, `"holds": 3`, `"holds": -3`, 1) + `}`, "cannot be"},
		"a count of words":    {head + strings.Replace(sound, `"holds": 3`, `"holds": "many"`, 1) + `}`, "damaged"},
		"no such month":       {head + strings.Replace(sound, "2027-01", "2027-13", 1) + `}`, "a month"},
		"no such day":         {head + strings.Replace(sound, `"checked": "2026-05-01"`, `"checked": "2026-02-30"`, 1) + `}`, "2026-02-30"},
		"a long name":         {head + strings.Replace(sound, "Invented Works", strings.Repeat("x", 501), 1) + `}`, "too long"},
		"cut off":             {(head + sound)[:len(head)+40], "cut off"},
		"damaged":             {head + strings.Replace(sound, "labels", "la\x00bels", 1) + `}`, "damaged"},
		"another program":     {`{"site": "x", "summary": {"form": 1, "site": "x", "checked": "2026-05-01"}}`, "not written by vouchmark"},
		"a page":              {"<!DOCTYPE html>", "not written by vouchmark"},
		"a list":              {"[]", "not written by vouchmark"},
		"empty":               {"", "not written by vouchmark"},
		"no summary for long": {`{"pages": "vouchmark", "site": "` + strings.Repeat("x", MostRead) + `", ` + sound + `}`, "no summary in its first 4 MiB"},
	} {
		got, err := Published(strings.NewReader(c.text))
		switch {
		case c.wrong == "" && (err != nil || got.Summary == nil || got.Summary.Labels.Holds != 3 || got.Ledger != "ab"):
			t.Errorf("%s: %+v, %v", name, got, err)
		case c.wrong != "" && (err == nil || !strings.Contains(err.Error(), c.wrong)):
			t.Errorf("%s: %v, want %q", name, err, c.wrong)
		}
	}
	lost := errors.New("the line was lost")
	if _, err := Published(io.MultiReader(strings.NewReader(head), iotest.ErrReader(lost))); !errors.Is(err, lost) {
		t.Errorf("an error of the network became %v", err)
	}
}

// Whatever a server answers, what comes out is sound or an error.
func FuzzPublished(f *testing.F) {
	f.Add(head + sound + `}`)
	f.Add(head + `"files": {}}`)
	f.Add(`{"summary": {"form": 1}}`)
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > suite.Longest {
			return
		}
		var got Reading
		var err error
		suite.Bounded(t, len(text), 2048, 4<<20, func() { got, err = Published(strings.NewReader(text)) })
		if err == nil && (got.Summary == nil || got.Summary.Valid() != nil) {
			t.Errorf("%+v", got)
		}
	})
}

// Text of other people on the page is text, and leads nowhere but to the web.
func TestHostilePlants(t *testing.T) {
	evil := `"><script>alert(1)</script>`
	links := []string{"javascript:alert(1)", "//evil.example", "data:text/html,x", "https://plant.example.org/" + evil}
	read := func(place string) (Reading, error) {
		s := summary(t, evil+place, "2026-05-20", report.StandingSum{Holds: 1})
		s.Edition, s.Ladder = evil, []report.SumRung{{Kit: evil}}
		return Reading{Summary: s, Link: place}, nil
	}
	o := New(append(links, evil), day(t, "2026-05-20"), 1, read)
	all, err := o.Files()
	if err != nil {
		t.Fatal(err)
	}
	html := string(all[len(all)-1].Data)
	if n := strings.Count(html, "<script"); n != 1 || !strings.Contains(html, `<script src="overview.`) {
		t.Errorf("%d scripts on the page", n)
	}
	html = strings.Replace(html, "<script", "", 1)
	for _, bad := range []string{"<script", `"javascript:`, `"data:`, `"//evil`, "style="} {
		if strings.Contains(strings.ToLower(html), bad) {
			t.Errorf("the page has %s", bad)
		}
	}
	if got := strings.Count(html, evil); got != 0 {
		t.Errorf("%d times as it was written", got)
	}
	if fmt.Sprint(all[len(all)-1].Name, all[len(all)-2].Name) != fmt.Sprint(PageFile, DataFile) {
		t.Error("the page is not written last")
	}
}

func settings(pairs ...string) (all []report.Setting) {
	for i := 0; i < len(pairs); i += 3 {
		all = append(all, report.Setting{Key: pairs[i], Kit: pairs[i+1], Value: pairs[i+2]})
	}
	return all
}

// What differs is listed with the value of each plant; a kit is compared between those that have it.
func TestCompare(t *testing.T) {
	p := Compare([]Owned{
		{"a", "A", settings("cutoff", "", "40", "ladder", "", "X, Y", "rating", "X", "4", "wear", "X", "gloves", "rating", "Y", "8", "units", "", "us")},
		{"b", "B", settings("cutoff", "", "36", "ladder", "", "X", "rating", "X", "4", "wear_es", "X", "guantes", "units", "", "us", "ask", "", "")},
	})
	var got []string
	for i := range p.Differ {
		d := &p.Differ[i]
		got = append(got, d.name()+"="+words(d.Values[0])+"|"+words(d.Values[1]))
	}
	want := "cutoff=40|36; ladder=X, Y|X; wear_es of X=not given|guantes; wear of X=gloves|not given; ask=-|not given"
	if strings.Join(got, "; ") != want || p.Same != 2 || len(p.Alike) != 2 {
		t.Errorf("got %s, the same %d\nwant %s", strings.Join(got, "; "), p.Same, want)
	}
}
