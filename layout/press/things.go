package press

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// NewMarkings turns a plan of labels into one of fault current markings (NEC
// 110.24, 408.6). A location without a fault current has none: where it was
// asked for by name that is a refusal, else it is passed over.
func NewMarkings(v *report.View, only []string, look label.Presentation) (*Plan, error) {
	p, err := New(v, only, look)
	if err != nil {
		return nil, err
	}
	m := &Plan{Thing: Markings, Refused: p.Refused}
	for _, i := range p.Items {
		i.Label, i.Marking = nil, label.ComposeMarking(i.Record, i.Code, look)
		switch {
		case i.Marking != nil:
			m.Items = append(m.Items, i)
		case len(only) > 0:
			m.Refused = append(m.Refused, Refusal{i.Record.Row().ID, "no fault current is stated", "fill in fault_ka in locations.csv"})
		}
	}
	return m, nil
}

// NewOverlays plans a strip for each printed label that is not to be relied
// on today, or for those in only. What refuses a label does not refuse its
// overlay.
func NewOverlays(s *record.Store, only []string, policy *assess.Policy, today assess.Date, look label.Presentation) (*Plan, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	p := &Plan{Thing: Overlays}
	printed := s.Printed(l)
	var unknown []string
	for _, id := range only {
		if _, ok := printed[id]; !ok {
			unknown = append(unknown, id)
		}
	}
	if unknown != nil {
		return nil, &UnknownError{unknown}
	}
	for id, newest := range printed {
		if len(only) > 0 && !slices.Contains(only, id) {
			continue
		}
		r, err := s.Load(newest)
		if err != nil {
			return nil, err
		}
		reviewBy, err := assess.ParseDate(r.Assessment.ReviewBy)
		if err != nil {
			return nil, err
		}
		if st := standing.ByAge(reviewBy, policy.NoticeDays, today); st.Status == standing.Lapsed {
			o := label.ComposeOverlay(r, newest.Code(), st.Status, st.Reasons[0].Since, policy.Ask, look)
			p.Items = append(p.Items, Item{Record: r, Code: newest.Code(), Overlay: o})
		}
	}
	slices.SortFunc(p.Items, less)
	return p, nil
}
