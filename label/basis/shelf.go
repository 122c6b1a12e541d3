package basis

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"sync"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// ErrNotPrinted is the error for a name under which no label was printed.
var ErrNotPrinted = errors.New("no label was printed for it yet")

// Shelf is the records of a site on a day, with all that belongs to each,
// indexed so that one in a hundred thousand is found at once. Many may read it
// at the same time.
type Shelf struct {
	Site *plant.Plant
	// Intact are records of which the file was just read and has the bytes of its name: it is not read again
	// to see that. It is set before the shelf is used.
	Intact map[record.ID]bool
	store  *record.Store

	places   map[string]*plant.Place
	unlisted map[string]*plant.Unlisted

	settlements map[string][]*assess.Settlement  // by change, until today
	acceptors   map[string][]record.AcceptedNote // by location, see [Known]
	ratings     assess.Ratings
	read        map[record.ID]*record.Record // in the site's history

	touched func() []standing.Touched // by number of the place
	tasks   func() []plant.Task
	printed func() []record.ID                     // see Printed
	covers  func() map[record.Code]bool            // see Covers
	planned func() []standing.Touched              // the same of changes dated after today
	others  func() map[record.ID]standing.Standing // see judge
	against func() map[record.ID][]standing.AgainstScreening
}

// NewShelf indexes what the ledger says about the records of a site. No record
// is read yet beyond those in the site's history.
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
	h.acceptors = map[string][]record.AcceptedNote{}
	for _, n := range v.History.Ledger.Accepted() {
		if n.Role != "" && !n.Ended.Failed {
			n.Acceptance, n.Number = &record.Acceptance{At: n.At, Finding: n.Finding, Date: n.Date, Reason: n.Reason}, 0
			h.acceptors[n.At] = append(h.acceptors[n.At], n)
		}
	}
	h.ratings = v.Site.Ratings()
	h.read = make(map[record.ID]*record.Record, len(v.History.Labels))
	for _, l := range v.History.Labels {
		h.read[l.ID] = l.Record
	}
	h.touched = sync.OnceValue(v.Touched)
	h.tasks = sync.OnceValue(v.Tasks)
	h.printed = sync.OnceValue(h.sortPrinted)
	h.covers = sync.OnceValue(h.coverings)
	h.planned = sync.OnceValue(v.Planned)
	h.others = sync.OnceValue(h.judgeOthers)
	h.against = sync.OnceValue(h.judgeReplaced)
	return h
}

// Printed are the records made by prints whose labels or markings may exist,
// replaced or not, in the order of their codes, for many readers.
func (h *Shelf) Printed() []record.ID { return h.printed() }

func (h *Shelf) sortPrinted() []record.ID {
	var ids []record.ID
	for _, n := range h.Site.History.Replay.Records {
		if n.Valid && n.Made() {
			ids = append(ids, n.ID)
		}
	}
	slices.SortFunc(ids, func(a, b record.ID) int { return bytes.Compare(a[:], b[:]) }) // whose digits have that order too
	return ids
}

// Scan is the view of the record to which a QR code leads, with the differences
// between the two.
func (h *Shelf) Scan(scanned label.Scanned) (*View, error) {
	id, err := h.store.Find(scanned.Code)
	if errors.Is(err, record.ErrNotFound) {
		for _, n := range h.Site.History.Replay.Records {
			if n.Valid && n.ID.Code() == scanned.Code && n.Made() {
				return nil, fmt.Errorf("%s: this label was printed, but its record is lost; "+
					"do not rely on the label, and restore the file from a backup", scanned.Code)
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
	k, _, err := h.Known(id)
	if err != nil {
		return nil, err
	}
	r, err := h.Load(id)
	if err != nil {
		return nil, err
	}
	v := k.View(r)
	v.Plant, v.Place = h.Site, h.places[r.Location.ID]
	return v, nil
}

// Load is a record as its file has it.
func (h *Shelf) Load(id record.ID) (*record.Record, error) { return h.store.Load(id) }

// Known is what the site says of a record, and the record as the site knows it: with
// the same hash, though perhaps made from the row.
func (h *Shelf) Known(id record.ID) (Known, *record.Record, error) {
	r, err := h.known(id)
	if err != nil {
		return Known{}, nil, err
	}
	location := r.Location.ID
	place := h.places[location]
	if place == nil && h.unlisted[location] == nil && !h.Site.Judges(location) { // another label than was asked for
		return Known{}, nil, fmt.Errorf("the record %s is of %s, which was not judged", id.Code(), location)
	}
	n := h.Site.History.Replay.Record(id)
	k := Known{ID: id, Strays: h.Site.Strays(id), Prints: prints(n), Unknown: !n.Made(), Signatures: seal.OfRecord(n, h.Site.Keys)}
	h.judge(&k, r)
	if s := h.Site.Amiss(location); s != nil && k.Newest {
		k.Door = report.Sighted(h.Site, s)
	}
	var row *assess.Location // where a print would use this record again
	if k.Newest && place != nil {
		k.Findings = place.Assessment.Findings
		k.Renewable = place.Differs() && place.Refusal(false) == nil
		if place.Record != nil && place.Record == place.Printed.Record {
			row = place.Assessment.Location
		}
	}
	h.complete(&k, r, place, row)
	return k, r, nil
}

// known is a record as the site was judged by it, if its file has that hash.
func (h *Shelf) known(id record.ID) (*record.Record, error) {
	if r := h.read[id]; r != nil {
		if h.Intact[id] {
			return r, nil
		}
		return r, h.store.Check(id)
	}
	return h.store.Load(id)
}

// judge takes the standing of the label from the site: that of the label printed
// last, or of one that was replaced. A record that never had a mounted label,
// such as that of a fault current marking alone, is judged as if it had one.
func (h *Shelf) judge(b *Known, r *record.Record) {
	location := r.Location.ID
	printing, printed := h.Site.History.Last(location)
	if printed && printing.ID == b.ID {
		b.Newest = true
		if _, ok := h.Before(b.ID); ok {
			b.Pair = b.ID.Code()
		}
		if p := h.places[location]; p != nil {
			b.Standing = p.Printed.Standing
		} else if u := h.unlisted[location]; u != nil {
			b.Standing = u.Standing
		}
		return
	}
	if e := earlier(printing, b.ID); e != nil {
		b.NewerCode, b.Standing = printing.ID.Code(), h.Site.Replaced(*e)
		if before, _ := h.Before(printing.ID); before == b.ID {
			b.Pair = b.NewerCode
		}
		b.Standing.Against = h.against()[b.ID]
	} else if s, ok := h.others()[b.ID]; ok {
		b.Standing = s
	} else {
		b.Standing = h.Site.StandingsOf([]*record.Record{r})[0] // no print made it
	}
}

// earlier is a label before the one that was printed last, or nil.
func earlier(p record.Printing, id record.ID) *record.Earlier {
	if i := slices.IndexFunc(p.Earlier, func(e record.Earlier) bool { return e.ID == id }); i >= 0 {
		return &p.Earlier[i]
	}
	return nil
}

// Before is the record whose label the label printed last at a location replaced; ok is
// false for any other label, and for the first one.
func (h *Shelf) Before(id record.ID) (before record.ID, ok bool) {
	n := h.Site.History.Replay.Record(id)
	if n == nil || len(n.Entries) == 0 {
		return before, false
	}
	p, printed := h.Site.History.Last(n.Entries[0].ID)
	if !printed || p.ID != id || len(p.Earlier) == 0 {
		return before, false
	}
	return p.Earlier[len(p.Earlier)-1].ID, true
}

// judgeOthers gives the standings of the printed records that never had a
// mounted label, all in one go: judging one means judging the whole plant.
func (h *Shelf) judgeOthers() map[record.ID]standing.Standing {
	var ids []record.ID
	var records []*record.Record
	for _, id := range h.Printed() {
		location := h.Site.History.Replay.Record(id).Entries[0].ID // where its label belongs, from the ledger
		printing, printed := h.Site.History.Last(location)
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

// judgeReplaced gives the settlements that released labels against their
// screening before a newer label replaced them, all in one go.
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
		printing, _ := h.Site.History.Last(location)
		if !slices.ContainsFunc(scopes, func(s *assess.Scope) bool { return s.Holds(location) }) || earlier(printing, id) == nil {
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
// A location with an error finding does not have one.
func (h *Shelf) Draft(id string) (*View, error) {
	p := h.places[id]
	if p == nil {
		return nil, fmt.Errorf("%q: %w", id, ErrNotPrinted)
	}
	if p.Assessment.Location.Unlabeled {
		return nil, fmt.Errorf("%s has no label: locations.csv says label = no", id)
	}
	if !p.Assessment.Prints() {
		return nil, fmt.Errorf("%s would not be printed: it has an error; see vouchmark check", id)
	}
	hash, err := p.Record.Hash()
	if err != nil {
		return nil, err
	}
	r := p.Record
	if p.Renews() { // the stored one, with its steps
		if r, err = h.Load(hash); err != nil {
			return nil, err
		}
	}
	k := Known{ID: hash, Standing: p.Row, Draft: true}
	h.complete(&k, r, p, p.Assessment.Location)
	d := k.View(r)
	d.Plant = h.Site
	return d, nil
}
