package basis

import (
	"errors"
	"fmt"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// ErrNotPrinted is the error for a name under which no label was printed.
var ErrNotPrinted = errors.New("it is neither a location whose label was printed, nor a code, nor the text of a QR code")

// Find is the view of the record that a person names: the id of a location,
// whose label printed last it is, a code, or what a QR code says. noticeDays
// is the owner's.
func Find(s *record.Store, name string, noticeDays int, today assess.Date) (*View, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	var scanned label.Scanned
	id, printed := s.Newest(l, name)
	if !printed {
		if scanned, err = label.ParseQR(name); err != nil {
			return nil, fmt.Errorf("%q: %w", name, ErrNotPrinted)
		}
		if id, err = s.Find(scanned.Code); err != nil {
			return nil, err
		}
	}
	r, err := s.Load(id)
	if err != nil {
		return nil, err
	}
	v, err := New(s, id, r, l, noticeDays, today)
	if err != nil {
		return nil, err
	}
	v.Differences = Differences(scanned, r)
	return v, nil
}

// Draft is the view of the record that a print of a location would store now.
// A location with an error finding has none.
func Draft(v *report.View, id string) (*View, error) {
	for i := range v.Places {
		p := &v.Places[i]
		if p.Assessment.Location.ID != id {
			continue
		}
		if !p.Assessment.Prints() {
			return nil, fmt.Errorf("%s would not be printed: it has an error finding, see vouchmark check", id)
		}
		r := record.New(p.Assessment, v.Site)
		_, hash, err := r.Encode()
		if err != nil {
			return nil, err
		}
		d := &View{ID: hash, Record: r, Today: v.Today, Standing: p.Standing, Draft: true}
		d.Evaluations, err = evaluations(r)
		return d, err
	}
	return nil, fmt.Errorf("%q: %w", id, ErrNotPrinted)
}
