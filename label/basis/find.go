package basis

import (
	"errors"
	"fmt"

	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// ErrNotPrinted is the error for a name under which no label was printed.
var ErrNotPrinted = errors.New("it is neither a location whose label was printed, nor a code, nor the text of a QR code")

// Find is the view of the record that a person names: the id of a location,
// whose label printed last it is, a code, or what a QR code says. v is the
// site on the day that is asked for.
func Find(v *report.View, s *record.Store, name string) (*View, error) {
	var scanned label.Scanned
	var id record.ID
	printing, printed := v.History.Labels[name]
	if printed {
		id = printing.ID
	} else {
		var err error
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
	b, err := New(v, id, r)
	if err != nil {
		return nil, err
	}
	b.Differences = Differences(scanned, r)
	return b, nil
}

// Draft is the view of the record that a print of a location would store now.
// A location with an error finding has none.
func Draft(v *report.View, id string) (*View, error) {
	p, ok := v.Place(id)
	if !ok {
		return nil, fmt.Errorf("%q: %w", id, ErrNotPrinted)
	}
	if !p.Assessment.Prints() {
		return nil, fmt.Errorf("%s would not be printed: it has an error finding, see vouchmark check", id)
	}
	r := record.New(p.Assessment, v.Site)
	_, hash, err := r.Encode()
	if err != nil {
		return nil, err
	}
	d := &View{ID: hash, Record: r, Today: v.Today, Standing: p.Row, Draft: true}
	return d, d.compute()
}
