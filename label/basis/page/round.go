package page

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// roundPage shows what was found on the equipment, by area; on a server that writes it is also where
// that is noted, with or without reception.
type roundPage struct {
	Says   string // when the last round was
	Months int
	Areas  []roundArea // of all parts
	Shown  []roundPart
	part
}

// roundArea is how far an area is.
type roundArea struct {
	Name         string
	Number       int    // from 1
	Page         string // the part that it begins on
	Labels, Seen int
	Never, Late  int
	Amiss        int
}

// Done is the part that was seen, in percent.
func (a *roundArea) Done() int { return 100 * a.Seen / max(1, a.Labels) }

// roundPart is an area, or a part of it, on one page.
type roundPart struct {
	roundArea
	Doors []roundDoor
}

// roundDoor is one location.
type roundDoor struct {
	ID, Equipment string
	Code          record.Code // of the label that must be there; "" for none
	Path          string      // of its page, from the start page
	Now           bool        // it was seen in the last round
	Found         record.Found
	Says          string
	Seen          assess.Date
	By            string
	Amiss         bool
	Since         assess.Date // since when the right label is mounted, noted after something else was found
	Do            string      // what to do about it
	Late          assess.Date // since when somebody must look again; zero if not yet
	Word          string      // the standing of the label, where it does not hold
	Sign          basis.Sign
}

// perRound is how many locations a page has: a phone keeps it without reception.
const perRound = 400

// foundShort are the badges of what was found.
var foundShort = map[record.Found]string{record.FoundRight: "right label", record.FoundOld: "older label", record.FoundOther: "label of other equipment",
	record.FoundForeign: "not of this site", record.FoundMissing: "no label", record.FoundDamaged: "damaged"}

// Short is what was found in two or three words.
func (d *roundDoor) Short() string {
	switch {
	case !d.Since.IsZero():
		return "mounted since"
	case d.Found != "" && (d.Now || d.Amiss):
		return foundShort[d.Found]
	}
	return "not seen yet"
}

// Badge is the look of what was found.
func (d *roundDoor) Badge() string {
	switch {
	case !d.Since.IsZero():
		return "right"
	case d.Found != "" && (d.Now || d.Amiss):
		return badgeOf(d.Found)
	}
	return "not"
}

func badgeOf(f record.Found) string {
	switch f {
	case record.FoundRight:
		return "right"
	case record.FoundMissing, record.FoundDamaged:
		return "lacks"
	}
	return "wrong"
}

func (p planner) round(v *plant.Plant, of *plant.Round) []Page {
	sum := report.SumUpRound(v, of)
	says := sum.Says()
	areas := make([]roundArea, len(of.Areas))
	order := map[string]int{}
	for i := range of.Areas {
		a := &of.Areas[i]
		order[a.Area] = i
		areas[i] = roundArea{Name: a.Area, Number: i + 1, Labels: a.Labels, Seen: a.Seen, Never: a.Never, Late: a.Late, Amiss: a.Amiss}
	}
	doors := sorted(of.Doors, func(a, b *plant.Door) int { return order[a.Area] - order[b.Area] })
	for i := range doors {
		if a := &areas[order[doors[i].Area]]; a.Page == "" {
			if a.Page = "index.html"; i >= perRound {
				a.Page = fmt.Sprintf("%d.html", i/perRound+1)
			}
		}
	}
	return inParts("round/", "index.html", doors, perRound, func(name string, some []plant.Door, at part) Page {
		d := roundPage{Says: says, Months: v.Site.Policy.SeenMonths, Areas: areas, part: at}
		for i := range some {
			n := order[some[i].Area]
			if last := len(d.Shown) - 1; last < 0 || d.Shown[last].Number != areas[n].Number {
				d.Shown = append(d.Shown, roundPart{roundArea: areas[n]})
			}
			last := &d.Shown[len(d.Shown)-1]
			last.Doors = append(last.Doors, newRoundDoor(v, &some[i], p.Live != nil && p.Live.Writes))
		}
		return planned(p, name, d, (*setting).rounds)
	})
}

func newRoundDoor(v *plant.Plant, at *plant.Door, writes bool) roundDoor {
	d := roundDoor{ID: at.ID, Equipment: at.Equipment, Amiss: at.Amiss, Now: at.Now}
	if at.Label != "" {
		d.Path = underCode(at.Label)
	}
	if at.Due {
		d.Code = at.Label
	}
	if s := at.Seen; s != nil {
		d.Found, d.Says, d.Seen, d.By = s.Found, report.Sighted(v, s), s.Day, s.By
	}
	if at.Amiss {
		if r := report.AmissRemedy(v, at); writes {
			d.Do = r.Text(Words)
		} else {
			d.Do = v.Text(r)
		}
	}
	if at.Late(v.Today) {
		d.Late = at.Look
	}
	if l, _ := v.History.Last(at.ID); at.Due && at.Seen != nil && at.Seen.Cleared && !l.Waits() {
		d.Since = l.Mounted
	}
	if p, ok := v.Place(at.ID); ok && p.Printed != nil && !p.Printed.Holds() {
		d.Word, d.Sign = string(p.Printed.Standing.Status), basis.Sign(p.Printed.Standing.Status)
		if p.Printed.Standing.TooLow {
			d.Sign = basis.Cover
		}
	}
	return d
}

// amissRow is a location with something else on its equipment than should be there.
type amissRow struct {
	ID, Equipment, Says string
	Path                string // of the page of its own label, from the start page; "" for none
}

// amissOf are all of them, what misleads whoever reads it first.
func amissOf(v *plant.Plant, round *plant.Round) []amissRow {
	var wrong, others []amissRow
	for i := range round.Doors {
		at := &round.Doors[i]
		if !at.Amiss {
			continue
		}
		r := amissRow{ID: at.ID, Equipment: at.Equipment, Says: report.Sighted(v, at.Seen)}
		if at.Label != "" {
			r.Path = underCode(at.Label)
		}
		if badgeOf(at.Seen.Found) == "wrong" {
			wrong = append(wrong, r)
		} else {
			others = append(others, r)
		}
	}
	return append(wrong, others...)
}

func (s *setting) rounds(p roundPage) ([]byte, error) {
	return s.render("round.html", "Round", "", 1, struct {
		roundPage
		Live  *Live
		Today string
	}{p, s.Live, s.Today})
}
