package report

import (
	"errors"
	"fmt"
	"slices"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// SummaryForm is the number of the form of a [Summary]. It rises when a key changes its meaning;
// keys may be added without that.
const SummaryForm = 1

// Summary is what an overview of many plants shows of one. A published site has it in its
// site.json, so that nothing else of it must be read.
type Summary struct {
	Form     int         `json:"form"`
	Site     string      `json:"site"`
	Checked  assess.Date `json:"checked"`
	Link     string      `json:"link"` // of its labels, as site.toml has it; "" for none
	Labels   StandingSum `json:"labels"`
	Due      []DueMonth  `json:"due"` // by month, earliest first, without what is due already
	Changes  OpenChanges `json:"open_changes"`
	Round    RoundSum    `json:"round"`
	Edition  string      `json:"edition"`
	Cutoff   float64     `json:"cutoff_cal_cm2"`
	Ladder   []SumRung   `json:"ladder"`
	Stale    int         `json:"stale_days"`
	Settings []Setting   `json:"policy,omitempty"` // see [Settings]
}

// StandingSum counts labels by their standing, worst first. Those to cover are in question too
// (or, rarely, of another standing that is not good); every other count is of its own.
type StandingSum struct {
	Cover      int `json:"cover"`
	InQuestion int `json:"in_question"`
	Lapsed     int `json:"lapsed"`
	FallsDue   int `json:"falls_due"`
	Holds      int `json:"holds"`
	Ready      int `json:"ready_to_print"`
	Refused    int `json:"not_printed"` // and something prevents it
	Withdrawn  int `json:"withdrawn"`
	NoLabel    int `json:"no_label"`
}

// DueMonth counts what falls due in a month.
type DueMonth struct {
	Month   string `json:"month"`   // 2027-03
	Labels  int    `json:"labels"`  // whose study must be reviewed, or an acceptance ends
	Devices int    `json:"devices"` // to maintain
	Looks   int    `json:"looks"`   // labels at which somebody must look
}

// OpenChanges counts the changes that put labels in question.
type OpenChanges struct {
	Count int  `json:"count"`
	More  bool `json:"more"` // at least so many: a label names only the first of a kind
}

// RoundSum is the last round.
type RoundSum struct {
	From     assess.Date `json:"from,omitzero"`
	To       assess.Date `json:"to,omitzero"` // absent where nobody has looked yet
	Labels   int         `json:"labels"`      // that must be on the equipment
	Seen     int         `json:"seen"`
	NotRight int         `json:"not_right"`
	Late     int         `json:"not_seen_for_seen_months"`
}

// SumRung is a kit of the owner's ladder, without what to wear.
type SumRung struct {
	Kit    string  `json:"kit"`
	Rating float64 `json:"rating_cal_cm2"`
}

// NewSummary sums up a plant on its day.
func NewSummary(v *plant.Plant) *Summary { return SumUp(v, NewDue(v, nil), v.Round()) }

// SumUp is NewSummary where all that is due and the last round are known.
func SumUp(v *plant.Plant, due *Due, round *plant.Round) *Summary {
	p := &v.Site.Policy
	s := &Summary{Form: SummaryForm, Site: p.Name, Checked: v.Today, Link: p.Link, Due: []DueMonth{}, Ladder: []SumRung{},
		Edition: p.Edition, Cutoff: float64(p.Cutoff), Stale: p.StaleDays, Settings: Settings(p)}
	t := tallied(v)
	of := func(state standing.Status) int { return t.of[string(state)] }
	s.Labels = StandingSum{Cover: t.tooLow, InQuestion: of(standing.InQuestion), Lapsed: of(standing.Lapsed), FallsDue: of(standing.FallsDue),
		Holds: of(standing.Holds), Ready: t.of[plant.ReadyToPrint], Refused: t.of[plant.NotPrinted],
		Withdrawn: of(standing.Withdrawn), NoLabel: t.of[plant.NoLabel]}
	for i := range p.Ladder {
		s.Ladder = append(s.Ladder, SumRung{p.Ladder[i].Kit, float64(p.Ladder[i].Rating)})
	}
	s.due(due.Items)
	s.changes(v)
	r := SumUpRound(v, round)
	s.Round = RoundSum{From: r.From, To: r.To, Labels: r.Labels, Seen: r.Seen, NotRight: r.Amiss, Late: r.Late}
	return s
}

// due counts what is due later. A label counts once in a month, however many things are due about it; so does a device.
func (s *Summary) due(items []DueItem) {
	type once struct{ month, kind, name string }
	seen, at := map[once]bool{}, map[string]int{}
	for i := range items {
		item := &items[i]
		if item.Month == DueNow {
			continue
		}
		k, known := at[item.Month]
		if !known {
			k = len(s.Due)
			s.Due, at[item.Month] = append(s.Due, DueMonth{Month: item.Month}), k
		}
		m := &s.Due[k]
		name, count := once{item.Month, "label", item.ID}, &m.Labels
		switch {
		case item.Device != "":
			name, count = once{item.Month, "device", item.Device}, &m.Devices
		case item.atDoor():
			name, count = once{item.Month, "look", item.ID}, &m.Looks
		}
		if !seen[name] {
			seen[name] = true
			*count++
		}
	}
	slices.SortFunc(s.Due, func(a, b DueMonth) int {
		if a.Month < b.Month {
			return -1
		}
		return 1 // no month is there twice
	})
}

// changes counts the changes that are a reason why a label, printed or not, does not hold.
func (s *Summary) changes(v *plant.Plant) {
	open := map[string]bool{}
	add := func(of *standing.Standing) {
		for i := range of.Reasons {
			r := &of.Reasons[i]
			if r.Status != standing.InQuestion || r.Change == "" {
				continue
			}
			open[r.Change] = true
			for _, id := range r.Open {
				open[id] = true
			}
			s.Changes.More = s.Changes.More || r.Count > max(1, len(r.Open))
		}
	}
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case p.Printed != nil:
			add(&p.Printed.Standing)
		case p.State() != plant.NoLabel:
			add(&p.Row)
		}
	}
	for i := range v.Unlisted {
		if u := &v.Unlisted[i].Standing; u.Status != standing.Withdrawn {
			add(u)
		}
	}
	s.Changes.Count = len(open)
}

// All is the number of labels and of locations that could have one.
func (c *StandingSum) All() int {
	return c.InQuestion + c.Lapsed + c.FallsDue + c.Holds + c.Ready + c.Refused + c.Withdrawn + c.NoLabel
}

// Add adds the counts of another plant.
func (c *StandingSum) Add(o *StandingSum) {
	of := o.counts()
	for i, n := range c.counts() {
		*n += *of[i]
	}
}

func (c *StandingSum) counts() []*int {
	return []*int{&c.Cover, &c.InQuestion, &c.Lapsed, &c.FallsDue, &c.Holds, &c.Ready, &c.Refused, &c.Withdrawn, &c.NoLabel}
}

// What a summary may have at most. A plant needs far less.
const (
	longestName = 500 // characters of a name or a kit
	mostRungs   = 200
	mostMonths  = 1300 // a century of them, and some
	mostCounted = 1 << 30
)

// Valid reports what cannot be right in a summary that another program may have written.
func (s *Summary) Valid() error {
	counts := []int{s.Stale, s.Changes.Count, s.Round.Labels, s.Round.Seen, s.Round.NotRight, s.Round.Late}
	for _, n := range s.Labels.counts() {
		counts = append(counts, *n)
	}
	for _, m := range s.Due {
		if _, err := assess.ParseDate(m.Month + "-01"); err != nil || len(m.Month) != 7 {
			return fmt.Errorf("a month %.20q", m.Month)
		}
		counts = append(counts, m.Labels, m.Devices, m.Looks)
	}
	names := []string{s.Site, s.Edition, s.Link}
	for i := range s.Ladder {
		names = append(names, s.Ladder[i].Kit)
	}
	switch {
	case s.Form < 1:
		return errors.New("no form")
	case s.Form > SummaryForm:
		return errors.New("a form of a later version of vouchmark; update this program")
	case s.Site == "" || s.Checked.IsZero():
		return errors.New("no name of the site, or no day of the last check")
	case len(s.Ladder) > mostRungs || len(s.Due) > mostMonths:
		return errors.New("a list that is too long")
	case slices.ContainsFunc(counts, func(n int) bool { return n < 0 || n > mostCounted }):
		return errors.New("a count that cannot be")
	case slices.ContainsFunc(names, func(name string) bool { return utf8.RuneCountInString(name) > longestName }):
		return errors.New("a name that is too long")
	}
	return nil
}
