package layout

import (
	"fmt"
	"slices"
	"strconv"
)

// Restudy is what a new study changes on a site's labels, for the files.
type Restudy struct {
	Site, Date string
	Study      string  // the file
	Verdict    string  // what is to be done first; "" where no label was printed
	Sound      bool    // no printed label is too low
	Counts     []Count // of locations, by what becomes of their labels
	Notes      []string
	Lists      []RestudyList // what matters first
	Cautions   []string      // set at the end
	Paper      Paper
}

// RestudyList are the locations whose labels change in the same way.
type RestudyList struct {
	Title string
	Brief bool // a line for each
	Rows  []RestudyRow
}

// RestudyRow is one location. A text that is not known is empty.
type RestudyRow struct {
	ID, Equipment, Area string
	Before, Now         RestudySays
	Alert               string   // why the label must be covered; set bold
	Notes               []string // other differences, and what to do
}

// RestudySays is what a label says.
type RestudySays struct{ Energy, Boundary, Label, Study string }

func (r RestudySays) cells() []string { return []string{r.Energy, r.Boundary, r.Label, r.Study} }

// RestudyPages sets it, on as many pages as it takes.
func RestudyPages(r *Restudy) []Page {
	s := newSheet(r.Paper)
	s.flow(s.left(), s.width(), paperTitle, "Restudy: what changes on the labels")
	s.flow(s.left(), s.width(), paperHead, r.Site)
	s.y += 1
	s.flow(s.left(), s.width(), paperBody, joined(" · ", r.Study, r.Date))
	s.flow(s.left(), s.width(), paperBody, "For the files of the safety coordinator and the study engineer.")
	s.y += 7
	if r.Verdict != "" {
		s.verdict(r.Verdict, r.Sound)
		s.y += sectionGap
	}
	var counts []Fact
	for _, c := range r.Counts {
		counts = append(counts, Fact{strconv.Itoa(c.N), c.What})
	}
	facts(s, "Locations", column{right: true}, counts).share(s.left(), s.width()).set()
	s.texts("How to read this", r.Notes)
	for i := range r.Lists {
		l := &r.Lists[i]
		s.y += sectionGap
		l.table(s).share(s.left(), s.width()).set()
	}
	s.texts("Cautions", r.Cautions)
	about := joined(" · ", printable(r.Date), "restudy")
	site := paperBody.cut(printable(r.Site), s.width()-paperBody.width(about)-MM(20)) // from the number of the page
	return s.numbered(joined(" · ", site, about))
}

func (l *RestudyList) table(s *sheetOf) *table {
	columns := []column{{name: "Location", most: 0.27}}
	if !l.Brief {
		columns = append(columns, column{whole: true}) // before or now
	}
	columns = append(columns, column{name: "Energy"}, column{name: "Boundary"}, column{name: "Signal word, kit"},
		column{name: "Study", whole: true})
	later := l.Brief && slices.ContainsFunc(l.Rows, func(r RestudyRow) bool { return r.Before.Study != r.Now.Study })
	if later {
		columns = append(columns, column{name: "Now", whole: true})
	}
	t := newTable(s, fmt.Sprintf("%s · %d", l.Title, len(l.Rows)), columns...)
	for i := range l.Rows {
		r := &l.Rows[i]
		if l.Brief {
			t.rows = append(t.rows, r.brief(later))
		} else {
			t.rows = append(t.rows, r.full())
		}
	}
	return t
}

// brief is a row in which nothing differs, except perhaps the study: it gives the
// numbers once.
func (r *RestudyRow) brief(later bool) row {
	says := r.Now
	if says == (RestudySays{}) {
		says = r.Before
	}
	of := row{cells: []cell{strong(r.ID)}}
	if what := r.what(); what != "" {
		of.notes = []cell{plain(what)}
	}
	for _, text := range says.cells() {
		of.cells = append(of.cells, plain(orDash(text)))
	}
	if later {
		of.cells[len(of.cells)-1] = plain(orDash(r.Before.Study))
		of.cells = append(of.cells, plain(orDash(r.Now.Study)))
	}
	return of
}

func (r *RestudyRow) what() string { return joined(" · ", r.Equipment, r.Area) }

// full is a row with the old values above the new ones; a new value that differs is
// bold.
func (r *RestudyRow) full() row {
	before, now := []cell{plain("before")}, []cell{plain(""), plain("now")}
	was, is := r.Before.cells(), r.Now.cells()
	for i := range is {
		before = append(before, plain(orDash(was[i])))
		now = append(now, doubtful(orDash(is[i]), was[i] != is[i]))
	}
	of := row{cells: append([]cell{strong(r.ID)}, before...), then: now}
	switch {
	case r.Before == (RestudySays{}):
		of.cells, of.then = append([]cell{strong(r.ID)}, now[1:]...), nil
	case r.Now == (RestudySays{}):
		of.then = nil
	}
	if what := r.what(); what != "" {
		of.notes = append(of.notes, plain(what))
	}
	if r.Alert != "" {
		of.notes = append(of.notes, strong(r.Alert))
	}
	for _, n := range r.Notes {
		of.notes = append(of.notes, plain(n))
	}
	return of
}
