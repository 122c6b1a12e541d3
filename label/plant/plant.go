// Package plant is a site as it is on a day: its places, the labels printed for
// them and whether they hold, and which labels a print would refuse. Every view
// is made from it: tables, pages, lists, prints.
//
//	plant.go     the site, and how it is judged
//	rows.go      the rows judged by themselves, and the records that they give
//	names.go     ids and areas as a person gives them
//	region.go    what must be known to judge some labels alone
//	standing.go  the labels as subjects of assess/standing
//	upstream.go  which rows have changed since the studies below them
//	alone.go     newer dates in a row with unchanged numbers
//	accept.go    acceptances that no longer count
//	refusal.go   what is not printed, and what to do about it
//	headroom.go  how far inputs may move
//	log.go       the log of changes joined with what the ledger notes of it
//	toolow.go    labels for which changes gave more than they print
//	former.go    labels of former ids, and labels of former rules
//	restudy.go   what the rows of a new study change; restudy_low.go
//	door.go      what to do on the equipment, and which labels are due
//	amiss.go     what is on the equipment and must not be
//	starter.go   a folder as init made it
//	round.go     the last walk on which somebody looked what is on the equipment
package plant

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"sync"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// Plant is a site on a day.
type Plant struct {
	Site     *assess.Site // with the log as it counts
	Logged   *Logged      // that log joined with the ledger
	Today    assess.Date
	Findings []assess.Finding // of the site as a whole
	Places   []Place          // in the order of locations.csv
	Unlisted []Unlisted       // in the order of their ids
	History  *record.History
	Keys     *seal.Keyring // that are trusted; nil for none

	part     bool           // only some labels are judged
	at       map[string]int // of each place
	command  Command
	ratings  assess.Ratings
	subjects []standing.Subject // whose standing was judged
	feeds    map[string]bool    // see feeding
	index    map[string]int     // see indexed
	labels   map[string][]state // see states

	all          []assess.Assessment // by the rows alone, never changed
	first        []*record.Record    // likewise: see assess
	shared       *record.Shared
	transformers map[string]*assess.Transformer // see plates
	strays       func() map[string][]string     // see Strays
}

// Command words the command of a remedy; nil names only what it does.
type Command func(act assess.Act, on string) string

// Place is one location.
type Place struct {
	Number     int // of the location in the site
	Assessment *assess.Assessment
	Row        standing.Standing // of the label that the row would print now; decides whether a print is refused
	Record     *record.Record    // that a print would store; nil if an error stops it
	Printed    *Printed          // the last printed label; nil if none was printed: it has no standing
	Headroom   standing.Headroom // of the last printed label, else of the one that would be printed

	upstream []assess.Feed  // the rows upstream as they are now, whatever its record will note
	shared   *record.Shared // policies of the plant's records
	first    *record.Record // see [Plant.assess]
	owned    bool           // the assessment is no longer that of the rows alone
}

// Printed is the last printed label of a location.
type Printed struct {
	record.Printing
	Standing standing.Standing
	Worse    string // what the row would now warn of and the label does not
}

// Unlisted is a label printed for a location that locations.csv no longer has.
type Unlisted struct {
	ID string
	Printed
}

// Area is the area of the location in the label's record; "" if that cannot be read.
func (u *Unlisted) Area() string {
	if u.Record == nil {
		return ""
	}
	return u.Record.Location.Area
}

// New judges a site: all of it, or the labels of the named locations with the rest
// of the site taken into account. h is what was printed for all locations; nil for
// nothing. A name that the site does not have is ignored.
func New(s *assess.Site, h *record.History, today assess.Date, command Command, only ...string) (*Plant, error) {
	if h == nil {
		h = &record.History{Ledger: &record.Ledger{}}
	}
	s, logged := joined(s, h)
	p := &Plant{Site: s, Logged: logged, Today: today, Findings: s.Findings(today), History: h, command: command,
		part: len(only) > 0, at: make(map[string]int, len(s.Locations)), ratings: s.Ratings(), shared: new(record.Shared)}
	p.all, p.first = p.assess()
	return p.conclude(only)
}

// joined is a site with its log as it counts, given what was printed and noted. Of the log,
// changes at places that were not read are left out, as [site.ReadNear] does.
func joined(s *assess.Site, h *record.History) (*assess.Site, *Logged) {
	logged := Join(&s.Log, h.Notes)
	of := *s
	of.Log = logged.Log
	if len(logged.Lost) > 0 && len(s.Beyond) > 0 {
		beyond := assess.Scope{IDs: s.Beyond}.Set()
		of.Log.Changes = slices.DeleteFunc(slices.Clone(of.Log.Changes), func(c assess.Change) bool { return beyond(c.At) })
	}
	return &of, logged
}

// With is the plant with another log of changes, read by [site.ReadLog], and what the ledger
// notes of it. What follows from rows, records and policy alone is not judged again. h must
// not differ from the plant's in anything else.
func (p *Plant) With(s *assess.Site, h *record.History) (*Plant, error) {
	of, logged := joined(s, h)
	if p.part || !reflect.DeepEqual(of.Log.Reviews, p.Site.Log.Reviews) { // a review may move REVIEW BY
		return New(s, h, p.Today, p.command)
	}
	q := &Plant{Site: of, Logged: logged, Today: p.Today, Findings: s.Findings(p.Today), History: h, Keys: p.Keys, command: p.command,
		at: make(map[string]int, len(s.Locations)), ratings: p.ratings, shared: p.shared, all: p.all, first: p.first}
	return q.conclude(nil)
}

// conclude judges the labels, once the rows are judged.
func (p *Plant) conclude(only []string) (*Plant, error) {
	s, h := p.Site, p.History
	p.strays = sync.OnceValue(p.strayed)
	index := p.indexed()
	places := len(p.all)
	if len(only) > 0 {
		places = min(places, len(only))
	}
	p.Places = make([]Place, 0, places)
	for i := range p.all {
		a := &p.all[i]
		if len(only) > 0 && !slices.Contains(only, a.Location.ID) {
			continue
		}
		p.at[a.Location.ID] = len(p.Places)
		p.Places = append(p.Places, p.newPlace(i, a, p.first[i]))
	}
	var others []standing.Subject // labels that were not asked for
	var former []Unlisted         // neither were these
	for id, printing := range h.Labels {
		at, listed := index[id]
		switch asked := len(only) == 0 || slices.Contains(only, id); {
		case asked && !listed:
			p.Unlisted = append(p.Unlisted, Unlisted{id, Printed{Printing: printing}})
		case !listed && slices.Contains(s.Policy.Former, id):
			former = append(former, Unlisted{id, Printed{Printing: printing}})
		case !asked && listed:
			others = append(others, ways(id, at, printing.Record))
		}
	}
	slices.SortFunc(others, func(a, b standing.Subject) int { return a.At - b.At })
	for _, list := range [][]Unlisted{p.Unlisted, former} {
		slices.SortFunc(list, func(a, b Unlisted) int { return cmp.Compare(a.ID, b.ID) })
	}
	p.judge(others, former)
	former = slices.Concat(p.Unlisted, former)
	for i := range p.Places {
		p.Places[i].checkDates(&s.Log)
		p.Places[i].checkFormer(former)
		p.Places[i].noteFeeds()
		p.Places[i].prepare()
	}
	if len(only) == 0 { // else some findings that an acceptance may cover are not known
		p.Findings = append(p.Findings, s.Policy.UnusedAcceptances(p.assessments, p.Today)...)
	}
	p.Findings = append(p.Findings, p.Logged.findings(p.command)...)
	p.checkLedger()
	if len(only) == 0 {
		p.checkNotes()
	}
	return p, nil
}

// assessments are those of all places.
func (p *Plant) assessments(yield func(*assess.Assessment) bool) {
	for i := range p.Places {
		if !yield(p.Places[i].Assessment) {
			return
		}
	}
}

// checkLedger finds lines of the ledger that do not count yet. A label printed
// with a wrong clock may still be mounted.
func (p *Plant) checkLedger() {
	var later []int
	for i := range p.History.Ledger.Lines {
		if p.Today.Before(p.History.Ledger.Lines[i].Date) {
			later = append(later, i)
		}
	}
	if later == nil {
		return
	}
	lines := "1 line"
	if len(later) > 1 {
		lines = fmt.Sprintf("%d lines", len(later))
	}
	p.Findings = append(p.Findings, assess.Finding{
		Level: assess.Caution, Code: assess.LedgerAhead, Field: "date", File: record.LedgerFile, Line: later[0] + 1,
		Message: fmt.Sprintf("%s of the ledger dated after today (%s), the first %s: they do not count yet, "+
			"although their labels may be mounted; check --today and the clock",
			lines, p.Today, p.History.Ledger.Lines[later[0]].Date)})
}

// Place is the place of a location.
func (p *Plant) Place(id string) (*Place, bool) {
	i, ok := p.at[id]
	if !ok || i >= len(p.Places) || p.Places[i].ID() != id { // a view of some places
		i = slices.IndexFunc(p.Places, func(place Place) bool { return place.ID() == id })
	}
	if i < 0 {
		return nil, false
	}
	return &p.Places[i], true
}

// Judges reports whether the plant judges the label of a location: all of them, or only
// some.
func (p *Plant) Judges(id string) bool {
	if !p.part {
		return true
	}
	_, listed := p.Place(id)
	return listed || slices.ContainsFunc(p.Unlisted, func(u Unlisted) bool { return u.ID == id })
}

// ID is the location's id.
func (p *Place) ID() string { return p.Assessment.Location.ID }

// Stopped reports whether any place has an error finding, even one that has
// no label.
func (p *Plant) Stopped() bool {
	return p.Site.Policy.Stopped() != "" ||
		slices.ContainsFunc(p.Places, func(place Place) bool { return place.Assessment.Stopped() != "" })
}

// Worded is the plant with the acts of its remedies worded another way, such as in the words of
// a page.
func (p *Plant) Worded(c Command) *Plant {
	other := *p
	other.command = c
	return &other
}
