package assess

import (
	"fmt"
	"testing"
)

// Changes get the names that trying every number from the first gives, also at a place
// whose id is the name of another change.
func TestChangeNames(t *testing.T) {
	d := Date{2026, 8, 11}
	names, taken := ChangeNames{}, map[string]bool{}
	for i, at := range []string{"A", "A/2", "A", "A", "A/3", "A/2", "A/3", "A", "A/2/2", "A/2", "A"} {
		want := d.String() + "/" + at
		for k := 2; taken[want]; k++ {
			want = fmt.Sprintf("%s/%s/%d", d, at, k)
		}
		taken[want] = true
		if got := names.Next(d, at); got != want {
			t.Errorf("change %d: %s, want %s", i+1, got, want)
		}
	}
	if got := names.Next(d, "B") + " " + names.Next(d, "B"); got != "2026-08-11/B 2026-08-11/B/2" {
		t.Error(got)
	}
}

// Naming four times as many changes of one day and place is four times the work, and
// not sixteen times.
func TestNamingManyChanges(t *testing.T) {
	work := func(n int) float64 {
		return testing.AllocsPerRun(1, func() {
			names := ChangeNames{}
			for range n {
				names.Next(Date{2026, 8, 11}, "SWB-1")
			}
		})
	}
	if few, many := work(500), work(2000); many > 5*few {
		t.Errorf("%v allocations for 500 changes, %v for 2,000", few, many)
	}
}

// Few cases are looked through, many are not, and the first of a name counts.
func TestByName(t *testing.T) {
	for _, n := range []int{0, 1, 3, 100} {
		l := &Location{}
		for i := range n {
			l.Cases = append(l.Cases, Case{Name: fmt.Sprint("case ", i*7%n)}, Case{Name: "twice"})
		}
		cases := l.ByName()
		if many := n == 100; (cases.index != nil) != many {
			t.Errorf("%d cases: an index is there: %v", len(l.Cases), !many)
		}
		for _, name := range append([]string{"", "twice", "case", "case 100"}, caseNames(l)...) {
			if got, want := cases.Named(name), l.CaseNamed(name); got != want {
				t.Errorf("%d cases, %q: %v, want %v", len(l.Cases), name, got, want)
			}
		}
	}
}

func caseNames(l *Location) []string {
	var names []string
	for i := range l.Cases {
		names = append(names, l.Cases[i].Name)
	}
	return names
}
