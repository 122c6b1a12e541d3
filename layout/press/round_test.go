package press

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// see notes looks and gives what is said about each.
func (y *yard) see(all ...logbook.Look) (says []string) {
	y.Helper()
	seen, err := logbook.See(y.view(), y.store, all, false, "A", "test")
	if err != nil {
		y.Fatal(err)
	}
	for i := range seen {
		says = append(says, seen[i].Says+report.After("; ", seen[i].Do))
	}
	return says
}

// found notes what was found at a location.
func (y *yard) found(id string, what record.Found) string {
	y.Helper()
	return y.see(logbook.Look{At: id, Found: what})[0]
}

// due are the locations with something amiss, and what to do there.
func (y *yard) due() (all []string) {
	y.Helper()
	d := report.NewDue(y.view(), nil)
	for i := range d.Items {
		if item := &d.Items[i]; item.Cause == report.AmissCause {
			all = append(all, item.ID+": "+item.Clears)
		}
	}
	return all
}

// What was found leads to one thing to do at each location, and that clears it.
func TestWalkOfWhatWasFound(t *testing.T) {
	y := newYard(t, 7)
	y.labels(Choice{})
	y.mounted("P0", "P1", "P2", "P3", "P4", "P5", "P6")
	p := func(i int) string { return fmt.Sprintf("P%d", i) }
	y.next()
	y.study("P5", 6)
	old := y.code("P5", 0)
	y.labels(Choice{IDs: []string{"P5"}})
	y.mounted("P5")
	y.next()
	y.found(p(0), record.FoundRight)
	y.found(p(1), record.FoundMissing)
	y.found(p(2), record.FoundDamaged)
	y.see(logbook.Look{At: p(3), Read: y.code("P4", 0)})
	y.see(logbook.Look{At: p(4), Read: "HTTPS://OTHER.EXAMPLE.ORG/V/0000-0000-0000-0000/X"})
	y.see(logbook.Look{At: p(5), Read: old})
	y.see(logbook.Look{Read: y.code("P6", 0), Found: record.FoundDamaged})
	reprint := func(id string) string { return " -> print a label again: " + id }
	tasks := y.view().Tasks()
	var got []string
	for _, task := range tasks {
		text := fmt.Sprint(task.ID, " ", task.Do, " ", task.Urgent)
		if task.There != "" {
			text += " " + string(task.There)
		}
		if task.First.Act == assess.ToReprint {
			text += reprint(task.First.On)
		}
		got = append(got, text)
	}
	want := []string{"P1 put on false" + reprint("P1"), "P2 replace false" + reprint("P2"), "P3 replace true " + y.code("P4", 0) + reprint("P3"),
		"P4 replace true" + reprint("P4"), "P5 replace true " + old + reprint("P5"), "P6 replace false " + y.code("P6", 0) + reprint("P6")}
	if !slices.Equal(got, want) {
		t.Errorf("%q\nwant\n%q", got, want)
	}
	if n := len(y.due()); n != 6 {
		t.Errorf("%d are due: %q", n, y.due())
	}
	for i := 1; i < 7; i++ {
		y.reprint(p(i))
	}
	for i, task := range y.view().Tasks() {
		if task.First.Words != "" || string(task.Label) != y.code(task.ID, 0) || task.Do != tasks[i].Do || task.There != tasks[i].There {
			t.Errorf("printed again: %+v", task)
		}
	}
	y.mounted("P1", "P2", "P3", "P4", "P5", "P6")
	y.look("done")
	if left := y.due(); left != nil {
		t.Errorf("still due: %q", left)
	}
}

// A label that fell down is the right one: to mount it again clears what was found, on the same day too.
func TestMountedAgain(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.found("P0", record.FoundMissing)
	y.mounted("P0")
	y.look("mounted again")
	if y.found("P0", record.FoundMissing); len(y.due()) != 1 {
		t.Errorf("missing again: %q", y.due())
	}
	y.found("P0", record.FoundRight)
	y.look("seen again")
}

// A label that does not hold is never the one to mount. What is there is covered, and what was found comes back
// when the label holds again.
func TestFoundWhereNoLabelHolds(t *testing.T) {
	y := newYard(t, 4)
	y.labels(Choice{})
	y.mounted("P0", "P1", "P2", "P3")
	y.next()
	y.change("P0")
	y.overlays(Choice{Changed: true})
	y.note(record.Mounted, record.Overlay, "P0", "P1", "P2", "P3")
	y.look("covered")
	y.next()
	for id, want := range map[string]string{"P0": "P0: the right label", "P2": "P2: no label; label " + y.code("P2", 0) + " does not hold (in question): mount its overlay",
		"P3": "P3: a damaged label; label " + y.code("P3", 0) + " does not hold (in question): cover what is there with its overlay"} {
		if got := y.found(id, map[string]record.Found{"P0": record.FoundRight, "P2": record.FoundMissing, "P3": record.FoundDamaged}[id]); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	y.see(logbook.Look{At: "P1", Read: y.code("P0", 0)})
	for _, d := range y.due() {
		if strings.Contains(d, "mount label") || strings.Contains(d, "with label") {
			t.Errorf("a label that does not hold is to be mounted: %q", d)
		}
	}
	for _, task := range y.view().Tasks() {
		if task.Do != "cover" || !task.Urgent || task.ID != "P1" && task.ID != "P2" {
			t.Errorf("%+v", task)
		}
	}
	made := y.overlays(Choice{Changed: true})
	if slices.Sort(made); !slices.Equal(made, []string{"P1", "P2"}) {
		t.Errorf("overlays for %q", made)
	}
	y.next()
	y.note(record.Mounted, record.Overlay, "P1", "P2")
	y.look("covered again")
	y.next()
	y.settle()
	var again []string
	for _, task := range y.view().Tasks() {
		again = append(again, fmt.Sprint(task.ID, " ", task.Do))
	}
	want := []string{"P0 remove overlay", "P1 remove overlay", "P1 replace", "P2 remove overlay", "P2 put on", "P3 remove overlay", "P3 replace"}
	if !slices.Equal(again, want) {
		t.Errorf("the labels hold again: %q, want %q", again, want)
	}
}

// What was found where no label belongs is removed, and that clears it.
func TestFoundWhereNoLabelBelongs(t *testing.T) {
	y := newYard(t, 5)
	y.row("P4").Unlabeled = true
	y.labels(Choice{})
	y.mounted("P0", "P1", "P2", "P3")
	y.withdraw("P1")
	y.note(record.Removed, "", "P1")
	y.row("P2").Unlabeled = true
	y.note(record.Removed, "", "P2")
	y.drop("P3")
	y.note(record.Removed, "", "P3")
	y.look("removed")
	y.next()
	other := y.code("P0", 0)
	for _, id := range []string{"P1", "P2", "P3", "P4"} {
		if got, want := y.see(logbook.Look{At: id, Read: other})[0], id+": the label of P0; no label belongs there: remove it"; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	var got []string
	for _, task := range y.view().Tasks() {
		got = append(got, fmt.Sprint(task.ID, " ", task.Do, " ", string(task.There) == other))
	}
	if want := []string{"P1 remove true", "P2 remove true", "P4 remove true", "P3 remove true"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if ps := y.wrong(tick(y.list(), "x", "remove", "P4")); len(ps) != 1 || !strings.Contains(ps[0].Do, "seen --found missing") {
		t.Errorf("%+v", ps)
	}
	y.note(record.Removed, "", "P1", "P2")
	y.found("P3", record.FoundMissing)
	y.found("P4", record.FoundMissing)
	y.look("removed again")
	if left := y.due(); left != nil {
		t.Errorf("still due: %q", left)
	}
}

// The labels of an area that were seen in the last round, never, or too long ago.
func TestRoundCounts(t *testing.T) {
	y := newYard(t, 4) // P0 and P2 are in one area
	y.site.Policy.SeenMonths = 6
	y.labels(Choice{})
	y.mounted("P0", "P1", "P2", "P3")
	count := func(what, want string) {
		t.Helper()
		r := y.view().Round()
		var got []string
		for _, a := range r.Areas {
			got = append(got, fmt.Sprintf("%s %d seen %d never %d late %d amiss %d", a.Area, a.Labels, a.Seen, a.Never, a.Late, a.Amiss))
		}
		if text := strings.Join(got, "; "); text != want {
			t.Errorf("%s: %q, want %q", what, text, want)
		}
	}
	count("nobody has looked", "East 2 seen 0 never 2 late 0 amiss 0; West 2 seen 0 never 2 late 0 amiss 0")
	y.today = day(t, "2026-11-01")
	count("mounted six months ago", "East 2 seen 0 never 2 late 0 amiss 0; West 2 seen 0 never 2 late 0 amiss 0")
	y.next()
	count("and a day", "East 2 seen 0 never 2 late 2 amiss 0; West 2 seen 0 never 2 late 2 amiss 0")
	y.found("P0", record.FoundRight)
	y.found("P1", record.FoundMissing)
	count("two seen", "East 2 seen 1 never 1 late 1 amiss 0; West 2 seen 1 never 1 late 1 amiss 1")
	y.study("P0", 6)
	y.labels(Choice{IDs: []string{"P0"}})
	if y.next(); !y.view().Round().Open {
		t.Error("the round is over on the next day")
	}
	y.today = y.today.AddDays(31)
	y.found("P2", record.FoundRight)
	count("another round; the label of P0 is a new one", "East 2 seen 1 never 1 late 0 amiss 0; West 2 seen 0 never 1 late 1 amiss 1")
	if r := y.view().Round(); r.From != y.today || r.To != y.today || !slices.Equal(r.By, []string{"A"}) {
		t.Errorf("%s to %s, %q", r.From, r.To, r.By)
	}
}

// roundList is the list for a round.
func (y *yard) roundList() string {
	y.Helper()
	var b bytes.Buffer
	if err := RoundCSV(&b, y.view()); err != nil {
		y.Fatal(err)
	}
	return strings.ReplaceAll(b.String(), "\r\n", "\n")
}

// filled writes into the row of a location what was found there, what was read, and the day.
func filled(list, cells, id string) string {
	return strings.Replace(list, "\n,,,"+id+",", "\n"+cells+","+id+",", 1)
}

// A list is read as a person filled it in, with whatever program.
func TestReadRound(t *testing.T) {
	y := newYard(t, 4)
	y.row("P3").ID = "Größe 3, links"
	y.labels(Choice{})
	y.mounted("P0")
	list := filled(filled(y.roundList(), "x,,", "P0"), "Missing,,2026-05-01", "P1")
	list = strings.Replace(list, "\n,,,\"Größe", "\n,"+y.code("P2", 0)+",,\"Größe", 1)
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(list, "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var semicolons strings.Builder
	w := csv.NewWriter(&semicolons)
	w.Comma = ';'
	w.WriteAll(rows)
	f := excelize.NewFile()
	defer f.Close()
	for i, r := range rows {
		for k, cell := range r {
			at, _ := excelize.CoordinatesToCellName(k+1, i+1)
			var v any = cell
			if cell == "2026-05-01" {
				v = y.today.Time()
			}
			if err := f.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	var book bytes.Buffer
	if err := f.Write(&book); err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{"round.csv": list, "plain.csv": strings.TrimPrefix(list, "\ufeff"), "semicolons.csv": semicolons.String(), "round.xlsx": book.String()} {
		r, err := ReadRound(what, []byte(text), y.view())
		if err != nil || len(r.Looks) != 3 || r.Left != 1 {
			t.Errorf("%s: %+v, %v", what, r, err)
			continue
		}
		want := []logbook.Look{{At: "P0", Read: y.code("P0", 0)}, {At: "P1", Found: record.FoundMissing, Day: y.today}, {At: "Größe 3, links", Read: y.code("P2", 0)}}
		for i := range want {
			if r.Looks[i] != want[i] {
				t.Errorf("%s: %+v, want %+v", what, r.Looks[i], want[i])
			}
		}
	}
	// A tick says that the label was there which the list names, whatever was printed since.
	y.next()
	y.study("P0", 7)
	y.labels(Choice{IDs: []string{"P0"}})
	r, err := ReadRound("round.csv", []byte(list), y.view())
	if err != nil {
		t.Fatal(err)
	}
	if got := y.see(r.Looks[0])[0]; !strings.HasPrefix(got, "P0: a label that is no longer in use; replace it with label "+y.code("P0", 0)) {
		t.Error(got)
	}
}

// What a code reader read is one text on each line.
func TestReadScans(t *testing.T) {
	y := newYard(t, 3)
	y.site.Policy.Link = "HTTPS://LABELS.EXAMPLE.ORG"
	y.labels(Choice{})
	v := y.view()
	link := label.QR(v.Site.Policy.Link, record.Code(y.code("P1", 0)), v.History.Labels["P1"].Record)
	scans := y.code("P0", 0) + "\r\n\r\n" + link + "\r\n" + y.code("P0", 0) + "\r\n"
	for what, text := range map[string]string{"scans.txt": scans, "with a mark": "\ufeff" + scans, "without the last line end": strings.TrimSuffix(scans, "\r\n")} {
		r, err := ReadRound(what, []byte(text), v)
		if err != nil || len(r.Looks) != 3 || r.Looks[1].Read != link || !slices.Equal(r.Lines, []int{1, 3, 4}) {
			t.Errorf("%s: %+v, %v", what, r, err)
		}
	}
	wrong := func(what, text, found string, line int) {
		t.Helper()
		var ps site.Problems
		if _, err := ReadRound("scans.txt", []byte(text), v); !errors.As(err, &ps) || len(ps) != 1 || ps[0].Line != line || !strings.Contains(ps[0].Found, found) {
			t.Errorf("%s: %v", what, err)
		}
	}
	wrong("another text first", "https://www.example.org/menu\n"+scans, "menu", 1)
	wrong("another text later", scans+"4006381333931\n", "4006381333931", 5)
	wrong("an empty file", "", "an empty file", 0)
	// A text of another site says nothing of where it is.
	r, err := ReadRound("scans.txt", []byte(strings.Replace(link, "LABELS", "OTHER", 1)+"\n"+scans), v)
	if err != nil {
		t.Fatal(err)
	}
	seen, err := logbook.See(v, y.store, r.Looks, true, "A", "test")
	if err != nil {
		t.Fatal(err)
	}
	var ps site.Problems
	if err := r.Wrong("scans.txt", v, seen); !errors.As(err, &ps) || len(ps) != 1 || ps[0].Line != 1 {
		t.Errorf("%v", err)
	}
	if l, _ := y.store.Ledger(); l.Lines[len(l.Lines)-1].Kind == record.Seen {
		t.Error("something was noted although a line was refused")
	}
}

// All that is wrong in a list is in one report.
func TestWrongRounds(t *testing.T) {
	y := newYard(t, 3)
	y.labels(Choice{})
	list := y.roundList()
	code := y.code("P0", 0)
	for what, c := range map[string]struct{ text, column, found string }{
		"a word":                  {filled(list, "gone,,", "P0"), "found", `"gone"`},
		"a date in another form":  {filled(list, "x,,5/1/2026", "P0"), "day", `"5/1/2026"`},
		"tomorrow":                {filled(list, "x,,2026-05-02", "P0"), "day", "2026-05-02"},
		"a tick for a day":        {filled(list, "x,,x", "P0"), "day", `"x"`},
		"a day alone":             {filled(list, ",,2026-05-01", "P0"), "found", "a day"},
		"missing, and a code":     {filled(list, "missing,"+code+",", "P0"), "found", code},
		"an unknown id":           {strings.Replace(filled(list, "x,,", "P0"), "P0", "PO", 1), "id", `"PO"`},
		"an altered code":         {strings.Replace(filled(list, "x,,", "P0"), code, "1E5", 1), "label", `"1E5"`},
		"a location twice":        {filled(list, "x,,", "P0") + "missing,,,P0\n", "id", `"P0" again`},
		"no column of the id":     {strings.Replace(list, ",id,", ",place,", 1), "id", "no column"},
		"a list of another thing": {"done,do,id,label\nx,put on,P0,\n", "found", "no column"},
	} {
		var ps site.Problems
		if _, err := ReadRound("round.csv", []byte(c.text), y.view()); !errors.As(err, &ps) || len(ps) != 1 || ps[0].Column != c.column || !strings.Contains(ps[0].Found, c.found) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
