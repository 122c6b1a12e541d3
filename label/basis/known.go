package basis

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// Known is what a site says of a record on a day. The rest of a view follows from
// it, from the record that the ID names and from the program: [Known.View] takes
// nothing else. So where this is the same, the pages are the same, and nothing has
// to be computed to find that out.
type Known struct {
	ID          record.ID
	Today       assess.Date // zero for pages that do not name it
	Ask         string      // whom a worker asks
	Standing    standing.Standing
	NewerCode   record.Code // the label printed after this one for the same location; "" for none
	Pair        record.Code // the later of two labels that replaced each other, where it is one of them: see [Shelf.Before]
	Prints      []Print
	Strays      []string // other locations on whose equipment somebody found this label
	Cover       bool     // it is to be covered, see [Shelf.Covers]; only its page says so
	Door        string   // what else was found on the equipment where it should be; "" for nothing
	Unknown     bool     // no print in the ledger made it
	Newest      bool     // it is the label of its location that was printed last
	Draft       bool     // not printed: what a print would store now
	Renewable   bool     // it is the newest, and a print would make another label in place of it
	Signatures  []seal.Signature
	Changes     []Change // that reach its location, newest first
	MoreChanges int      // how many older ones are left out
	Planned     []string // changes dated after today that reach its location, in words
	Reviews     []Review
	Acceptors   []record.AcceptedNote // of findings at its location, by people who had signed in
	Sources     []Source              // of its rows
	Findings    []assess.Finding      // of the row as it is now, where this is its label
	Differences []string              // between a scanned link and the record
	Ratings     []assess.KA           // of the devices of each case, 0 where none counts; see assess.Ratings
}

// View computes the rest: the equations, again, and the margin. r is the record as its
// file has it.
func (k Known) View(r *record.Record) *View {
	own, l := r.Inputs, *r.Location
	own.Location, l.Cases = &l, slices.Clone(l.Cases)
	for i, rating := range k.Ratings {
		l.Cases[i].DeviceRating = rating
	}
	return &View{Known: k, Record: r, Evaluations: evaluations(r), Headroom: standing.HeadroomOf(&own, r.Energy)}
}

// Undated is what is known without the day on which it was found.
func (k Known) Undated() Known {
	k.Today, k.Standing = assess.Date{}, Undated(k.Standing)
	return k
}

// Undated is a standing without the day of reasons that were only found on it.
func Undated(s standing.Standing) standing.Standing {
	s.Reasons = slices.Clone(s.Reasons)
	for i := range s.Reasons {
		if r := &s.Reasons[i]; r.Found {
			r.Since = assess.Date{}
		}
	}
	return s
}

// complete adds to a standing what belongs to the record of a location. row is where
// a print would use this record again; nil for nowhere.
func (h *Shelf) complete(k *Known, r *record.Record, place *plant.Place, row *assess.Location) {
	l := r.Location
	k.Today, k.Ask = h.Site.Today, h.Site.Site.Policy.Ask
	if place != nil {
		touched := &h.touched()[place.Number]
		k.Changes, k.MoreChanges = h.changes(touched.Changes, l, k.Standing.Held), touched.More
		k.Planned = plannedWords(&h.planned()[place.Number])
	}
	k.Reviews = h.reviews(l.ID)
	k.Acceptors = h.acceptors[l.ID]
	k.Sources = sources(r, row, h.Site.History.Replay.Studies)
	own := h.ratings.Own(&r.Inputs).Location
	k.Ratings = make([]assess.KA, len(own.Cases))
	for i := range own.Cases {
		k.Ratings[i] = own.Cases[i].DeviceRating
	}
}
