package report

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
)

// Place is one location as check shows it.
type Place struct {
	Assessment *assess.Assessment
	Standing   standing.Standing
	Code       record.Code // of what print would print now; "" where an error stops it
}

// View is a site as check shows it on a day.
type View struct {
	Site   *assess.Site
	Today  assess.Date
	Places []Place
}

// New judges a site and gives what check shows of it.
func New(s *assess.Site, today assess.Date) (*View, error) {
	all := assess.Judge(s, today)
	v := &View{Site: s, Today: today, Places: make([]Place, len(all))}
	for i := range all {
		a := &all[i]
		p := Place{Assessment: a, Standing: standing.ByAge(a.ReviewBy, s.Policy.NoticeDays, today)}
		if a.Prints() {
			_, id, err := record.New(a, s).Encode()
			if err != nil {
				return nil, err
			}
			p.Code = id.Code()
		}
		v.Places[i] = p
	}
	return v, nil
}

// Refused reports whether an error finding stops any label.
func (v *View) Refused() bool {
	for _, p := range v.Places {
		if !p.Assessment.Prints() {
			return true
		}
	}
	return false
}

// printed are the numbers of a label as it words them.
func (p *Place) printed(u assess.Units) (energy, boundary, distance string) {
	a := p.Assessment
	if a.Energy.Value > 0 {
		energy = label.Energy(assess.CalCM2(a.Energy.Value), u)
	}
	if b := assess.BoundaryToPrint(assess.CalCM2(a.Energy.Value), assess.MM(a.Boundary.Value), a.Location.Distance); a.Boundary.Value > 0 {
		boundary = label.Length(b, b, u)
	}
	return energy, boundary, label.Distance(a.Location.Distance, u)
}
