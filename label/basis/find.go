package basis

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
)

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
			return nil, fmt.Errorf("no label was printed for a location %q, and it is neither a code nor the text of a QR code", name)
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
