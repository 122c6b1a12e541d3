package basis

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"sync"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// ErrNotPrinted is the error for a name under which no label was printed.
var ErrNotPrinted = errors.New("it is neither a location whose label was printed, nor a code, " +
	"nor the text of a QR code")

// Shelf is the records of a site on a day with what stands around each, in
// order, so that one of a hundred thousand is found as quickly as the only one.
// Many may read it at once.
type Shelf struct {
	Site  *plant.Plant
	store *record.Store

	places   map[string]*plant.Place
	unlisted map[string]*plant.Unlisted

	settlements map[string][]*assess.Settlement // by change, until today

	touched func() []standing.Touched              // by number of the place
	others  func() map[record.ID]standing.Standing // see judge
	against func() map[record.ID][]standing.AgainstScreening
}

// NewShelf orders what the ledger tells of the records of a site. Nothing of
// them is read yet but what the site's history has.
func NewShelf(v *plant.Plant, s *record.Store) *Shelf {
	h := &Shelf{Site: v, store: s, places: make(map[string]*plant.Place, len(v.Places)),
		unlisted: map[string]*plant.Unlisted{}}
	for i := range v.Places {
		h.places[v.Places[i].Assessment.Location.ID] = &v.Places[i]
	}
	for i := range v.Unlisted {
		h.unlisted[v.Unlisted[i].ID] = &v.Unlisted[i]
	}
	h.settlements = map[string][]*assess.Settlement{}
	for i := range v.Site.Log.Settlements {
		if t := &v.Site.Log.Settlements[i]; !v.Today.Before(t.Date) {
			h.settlements[t.Change] = append(h.settlements[t.Change], t)
		}
	}
	h.touched = sync.OnceValue(v.Touched)
	h.others = sync.OnceValue(h.judgeOthers)
	h.against = sync.OnceValue(h.judgeReplaced)
	return h
}

// Printed are the records that prints made of which labels or markings may
// exist, whether a newer one took their place or not, in the order of their
// codes.
func (h *Shelf) Printed() []record.ID {
	var ids []record.ID
	for _, n := range h.Site.History.Replay.Records {
		if n.Valid && n.Made() {
			ids = append(ids, n.ID)
		}
	}
	slices.SortFunc(ids, func(a, b record.ID) int { return cmp.Compare(a.Code(), b.Code()) })
	return ids
}

// Find is the view of the record that a person names: the id of a location,
// whose label printed last it is, a code, or what a QR code says.
func (h *Shelf) Find(name string) (*View, error) {
	if printing, printed := h.Site.History.Labels[name]; printed {
		return h.View(printing.ID)
	}
	scanned, err := label.ParseQR(name)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", name, ErrNotPrinted)
	}
	return h.Scan(scanned)
}

// Scan is the view of the record to which a QR code leads, with what the code
// says and the record does not.
func (h *Shelf) Scan(scanned label.Scanned) (*View, error) {
	id, err := h.store.Find(scanned.Code)
	if errors.Is(err, record.ErrNotFound) {
		for _, n := range h.Site.History.Replay.Records {
			if n.Valid && n.ID.Code() == scanned.Code && n.Made() {
				return nil, fmt.Errorf("%s: the ledger tells of its print, and the record behind it is lost; "+
					"do not rely on the label, and bring the file back from a copy of the folder", scanned.Code)
			}
		}
	}
	if err != nil {
		return nil, err
	}
	b, err := h.View(id)
	if err != nil {
		return nil, err
	}
	b.Differences = differences(scanned, b.Record)
	return b, nil
}

// View is the view of a record.
func (h *Shelf) View(id record.ID) (*View, error) {
	r, err := h.store.Load(id)
	if err != nil {
		return nil, err
	}
	n := h.Site.History.Replay.Record(id)
	b := &View{ID: id, Record: r, Plant: h.Site, Today: h.Site.Today, Prints: prints(n), Unknown: !n.Made(),
		Signatures: seal.OfRecord(n, h.Site.Keys)}
	location := r.Location.ID
	b.Place = h.places[location]
	if b.Place != nil {
		b.touched = h.touched()[b.Place.Number]
	}
	h.judge(b, location)
	h.compute(b)
	var row *assess.Location // where a print would use this record again
	if p := b.Place; b.Hangs && p != nil && p.Record != nil && p.Record == p.Printed.Record {
		row = p.Assessment.Location
	}
	b.Sources = sources(r, row, h.Site.History.Replay.Studies)
	return b, nil
}

// compute follows the equations again, measures the headroom, and holds what
// the log says against the day of the study.
func (h *Shelf) compute(b *View) {
	l := b.Record.Location
	b.Evaluations = evaluations(b.Record)
	b.Changes, b.MoreChanges = h.changes(b, l.Base()), b.touched.More
	b.Reviews = h.reviews(l.ID)
	b.Headroom = h.Site.HeadroomOf(b.Record)
}

// judge takes the standing of the label from the site: of the one printed
// last, or of one that was replaced. A record by which no label is mounted, such
// as that of a fault current marking alone, is judged as if one were.
func (h *Shelf) judge(b *View, location string) {
	printing, printed := h.Site.History.Labels[location]
	if printed && printing.ID == b.ID {
		b.Hangs = true
		if b.Place != nil {
			b.Standing = b.Place.Printed.Standing
		} else if u := h.unlisted[location]; u != nil {
			b.Standing = u.Standing
		}
		return
	}
	if e := earlier(printing, b.ID); e != nil {
		b.NewerCode, b.Standing = printing.ID.Code(), h.Site.Replaced(*e)
		b.Standing.Against = h.against()[b.ID]
	} else if s, ok := h.others()[b.ID]; ok {
		b.Standing = s
	} else {
		b.Standing = h.Site.StandingsOf([]*record.Record{b.Record})[0] // no print made it
	}
}

// earlier is a label before the one that was printed last, or nil.
func earlier(p record.Printing, id record.ID) *record.Earlier {
	if i := slices.IndexFunc(p.Earlier, func(e record.Earlier) bool { return e.ID == id }); i >= 0 {
		return &p.Earlier[i]
	}
	return nil
}

// judgeOthers gives the standings of the records that were printed and by
// which no label is or was mounted, all in one go: each for itself would be
// judged beside the whole plant.
func (h *Shelf) judgeOthers() map[record.ID]standing.Standing {
	var ids []record.ID
	var records []*record.Record
	for _, id := range h.Printed() {
		location := h.Site.History.Replay.Record(id).Entries[0].ID // where the ledger says that its label belongs
		printing, printed := h.Site.History.Labels[location]
		if printed && (printing.ID == id || earlier(printing, id) != nil) {
			continue
		}
		if r, err := h.store.Load(id); err == nil {
			ids, records = append(ids, id), append(records, r)
		}
	}
	all := map[record.ID]standing.Standing{}
	for i, s := range h.Site.StandingsOf(records) {
		all[ids[i]] = s
	}
	return all
}

// judgeReplaced gives what released labels against their screening before a
// newer one took their place, all in one go.
func (h *Shelf) judgeReplaced() map[record.ID][]standing.AgainstScreening {
	var scopes []*assess.Scope
	for i := range h.Site.Site.Log.Settlements {
		if s := &h.Site.Site.Log.Settlements[i]; s.AgainstScreening != "" {
			scopes = append(scopes, &s.Scope)
		}
	}
	var ids []record.ID
	var records []*record.Record
	for _, id := range h.Printed() {
		location := h.Site.History.Replay.Record(id).Entries[0].ID
		if !slices.ContainsFunc(scopes, func(s *assess.Scope) bool { return s.Holds(location) }) ||
			earlier(h.Site.History.Labels[location], id) == nil {
			continue
		}
		if r, err := h.store.Load(id); err == nil {
			ids, records = append(ids, id), append(records, r)
		}
	}
	all := map[record.ID][]standing.AgainstScreening{}
	for i, s := range h.Site.StandingsOf(records) {
		all[ids[i]] = s.Against
	}
	return all
}

// Draft is the view of the record that a print of a location would store now.
// A location with an error finding has none.
func (h *Shelf) Draft(id string) (*View, error) {
	p := h.places[id]
	if p == nil {
		return nil, fmt.Errorf("%q: %w", id, ErrNotPrinted)
	}
	if p.Assessment.Location.Unlabeled {
		return nil, fmt.Errorf("%s carries no label: locations.csv says label = no", id)
	}
	if !p.Assessment.Prints() {
		return nil, fmt.Errorf("%s would not be printed: it has an error finding, see vouchmark check", id)
	}
	_, hash, err := p.Record.Encode()
	if err != nil {
		return nil, err
	}
	d := &View{ID: hash, Record: p.Record, Plant: h.Site, Today: h.Site.Today, Standing: p.Row, Draft: true,
		touched: h.touched()[p.Number]}
	h.compute(d)
	d.Sources = sources(d.Record, p.Assessment.Location, h.Site.History.Replay.Studies)
	return d, nil
}
