// Package overview shows many plants in one view: which of them have labels that do not hold, what falls
// due, and where nobody looked for too long. It reads nothing itself: a [Reader] reads one plant.
//
//	overview.go   the plants, in the order of what needs attention, and their totals
//	published.go  what a published site says of itself, at the start of its site.json
//	table.go      the plants on a terminal
//	page.go       the plants as one page, and its files
//	find.go       in which plants an id or a code may be
//	policies.go   in what the policies of plants differ
package overview

import (
	"cmp"
	"slices"
	"strings"
	"sync"

	"vouchmark/assess"
	"vouchmark/label/report"
)

// Kind says what a place is.
type Kind string

// The kinds of places.
const (
	SiteFolder      Kind = "site folder"      // its labels are judged now
	PublishedFolder Kind = "published folder" // they are as they were when it was published last
	PublishedSite   Kind = "published site"   // the same, read over the network
	PublishedBucket Kind = "published bucket" // the same, in object storage
)

// Reading is what was read of a plant.
type Reading struct {
	Kind    Kind
	Link    string // leads a person to its pages: an address, or a path that a page can have; "" for none
	Site    string // its name, as far as that could be read
	Ledger  string // hash of its ledger's first line; "" for none
	Summary *report.Summary
	Names   report.Names // "" where they are not known
}

// Reader reads the plant at a place. What it could read counts even where there is an error, which is one
// line for a person. Several may be read at once.
type Reader func(place string) (Reading, error)

// Overview is many plants on a day.
type Overview struct {
	Pages  string      `json:"pages"` // always [Maker]
	Today  assess.Date `json:"today"`
	Totals Totals      `json:"totals"`
	Plants []Plant     `json:"plants"` // what needs attention first
}

// Maker is by what an overview is known again.
const Maker = "vouchmark overview"

// Plant is one of them.
type Plant struct {
	Place   string `json:"place"`
	Kind    Kind   `json:"kind,omitempty"`
	Site    string `json:"site"` // "" where not even that could be read
	Link    string `json:"link"`
	Problem string `json:"problem"` // why nothing is known of it; "" for no problem
	// Days is how many days ago the plant was checked, Stale whether that is more than its stale_days. Ahead
	// is true where it was checked on a later day than today: one of the two clocks is wrong.
	Days    int             `json:"days_since_check"`
	Stale   bool            `json:"stale"`
	Ahead   bool            `json:"ahead"`
	Summary *report.Summary `json:"summary"` // null where there is a problem

	MayHave bool `json:"may_have,omitempty"` // see [Overview.Find]

	names report.Names
	twice bool // it is another one of them
}

// Totals are over all plants that could be read.
type Totals struct {
	Plants     int                `json:"plants"`
	Unreadable int                `json:"cannot_be_read"`
	Stale      int                `json:"stale"`
	Ahead      int                `json:"ahead"`
	Labels     report.StandingSum `json:"labels"`
	Due        []Month            `json:"due"`
	Changes    report.OpenChanges `json:"open_changes"`
	NotRight   int                `json:"not_right"` // found in rounds
}

// Month is what falls due in a month, over all plants.
type Month struct {
	report.DueMonth
	Plants int `json:"plants"`
	// Passed is true for a month before today's, which only a plant that nobody checked since still has to come.
	Passed bool `json:"passed"`
}

// New reads the plants at some places, so many at a time, and puts those first that need attention most. A
// plant that cannot be read is in it and says so. Of places that have one ledger only the first
// counts.
func New(places []string, today assess.Date, atOnce int, read Reader) *Overview {
	o := &Overview{Pages: Maker, Today: today, Plants: make([]Plant, len(places))}
	ledgers := make([]string, len(places))
	Each(len(places), atOnce, func(i int) { o.Plants[i], ledgers[i] = plantAt(places[i], today, read) })
	first := map[string]string{}
	for i, ledger := range ledgers {
		p := &o.Plants[i]
		if ledger == "" || p.Problem != "" {
			continue
		}
		if other, twice := first[ledger]; twice {
			p.Problem, p.Summary, p.twice = "the same plant as "+other+", by its ledger: counted there", nil, true
			continue
		}
		first[ledger] = p.Place
	}
	for i := range o.Plants {
		o.Totals.add(&o.Plants[i])
	}
	if o.Totals.Due = report.OrEmpty(o.Totals.Due); len(o.Totals.Due) > 0 {
		slices.SortFunc(o.Totals.Due, func(a, b Month) int { return strings.Compare(a.Month, b.Month) })
	}
	for i := range o.Totals.Due {
		o.Totals.Due[i].Passed = o.Passed(o.Totals.Due[i].Month)
	}
	slices.SortStableFunc(o.Plants, worse)
	return o
}

// Passed reports whether a month is before today's.
func (o *Overview) Passed(month string) bool { return month < o.Today.String()[:7] }

// Each does something for so many, a few at a time.
func Each(n, atOnce int, do func(i int)) {
	next := make(chan int)
	var all sync.WaitGroup
	for range min(atOnce, n) {
		all.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	all.Wait()
}

// plantAt reads one plant.
func plantAt(place string, today assess.Date, read Reader) (Plant, string) {
	r, err := read(place)
	p := Plant{Place: place, Kind: r.Kind, Site: r.Site, Link: r.Link, Summary: r.Summary, names: r.Names}
	if err != nil {
		p.Problem, p.Summary = err.Error(), nil
		return p, ""
	}
	p.Site = p.Summary.Site
	p.Summary.Settings = nil // for comparing policies; of many plants they are much
	checked := p.Summary.Checked
	p.Days, p.Ahead = days(checked, today), today.Before(checked)
	p.Stale = checked.AddDays(p.Summary.Stale).Before(today)
	return p, r.Ledger
}

// days are those from one day to another; 0 where that is earlier.
func days(from, to assess.Date) int {
	return max(0, int(to.Time().Sub(from.Time()).Hours()/24))
}

// worse orders plants: first those of which nothing is known, then those that nobody checked for too long, then by
// the labels that need attention.
func worse(a, b Plant) int {
	first := func(a, b bool) int {
		switch {
		case a == b:
			return 0
		case a:
			return -1
		}
		return 1
	}
	if c := cmp.Or(first(a.Problem != "", b.Problem != ""), first(a.Stale || a.Ahead, b.Stale || b.Ahead)); c != 0 || a.Problem != "" {
		return cmp.Or(c, strings.Compare(a.Place, b.Place))
	}
	x, y := &a.Summary.Labels, &b.Summary.Labels
	return cmp.Or(cmp.Compare(y.Cover, x.Cover), cmp.Compare(y.InQuestion, x.InQuestion), cmp.Compare(y.Lapsed, x.Lapsed),
		cmp.Compare(y.FallsDue, x.FallsDue), cmp.Compare(y.Refused, x.Refused), strings.Compare(a.Site, b.Site), strings.Compare(a.Place, b.Place))
}

func (t *Totals) add(p *Plant) {
	t.Plants++
	if p.Problem != "" {
		t.Unreadable++
		return
	}
	if p.Stale {
		t.Stale++
	}
	if p.Ahead {
		t.Ahead++
	}
	s := p.Summary
	t.Labels.Add(&s.Labels)
	t.Changes.Count += s.Changes.Count
	t.Changes.More = t.Changes.More || s.Changes.More
	t.NotRight += s.Round.NotRight
	for _, m := range s.Due {
		i := slices.IndexFunc(t.Due, func(of Month) bool { return of.Month == m.Month })
		if i < 0 {
			i = len(t.Due)
			t.Due = append(t.Due, Month{DueMonth: report.DueMonth{Month: m.Month}})
		}
		sum := &t.Due[i]
		sum.Labels, sum.Devices, sum.Looks, sum.Plants = sum.Labels+m.Labels, sum.Devices+m.Devices, sum.Looks+m.Looks, sum.Plants+1
	}
}

// Complete reports whether every plant could be read.
func (o *Overview) Complete() bool { return o.Totals.Unreadable == 0 }
