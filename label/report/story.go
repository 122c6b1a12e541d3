package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// Story is the history of a location, oldest first.
type Story struct {
	ID       string             `json:"id"`
	Today    assess.Date        `json:"today"`
	Standing *standing.Standing `json:"standing"` // null if no label was printed
	Events   []Event            `json:"events"`

	state string // in words
}

// Event is one thing that happened.
type Event struct {
	Date   assess.Date `json:"date"`
	What   string      `json:"what"`
	Code   record.Code `json:"code,omitempty"` // of the label concerned
	By     string      `json:"by,omitempty"`
	Role   record.Role `json:"role,omitempty"` // of who signed in; "" where the name was typed
	Reason string      `json:"reason,omitempty"`

	// says is the event as a sentence without its reason; {code} and {by} are filled in
	// where they are known, with the words around them.
	says string
	turn turn
}

// sentence is the event for a person, understood without the lines around it.
func (e *Event) sentence() string {
	who := e.Role.With(e.By)
	return strings.NewReplacer("{code}", After(" ", string(e.Code)), "{by}", After(" by ", who),
		"{noted}", After(", noted by ", who)+" on "+e.Date.String()).Replace(cmp.Or(e.says, e.What+"{code}{by}")) +
		After(": ", e.Reason)
}

// NewStory tells the history of a location that is in locations.csv or whose
// label was printed.
func NewStory(v *plant.Plant, id string) (*Story, error) {
	s := &Story{ID: id, Today: v.Today, Events: []Event{}}
	p, listed := v.Place(id)
	if listed {
		s.state = state(p)
		if p.Printed != nil {
			s.Standing = &p.Printed.Standing
		}
		for i := range p.Assessment.Location.Cases {
			c := &p.Assessment.Location.Cases[i]
			study := strings.TrimSpace("study "+c.Study) + After(", case ", c.Name)
			if !c.Surveyed.IsZero() {
				s.add(Event{Date: c.Surveyed, What: "equipment surveyed for " + study, By: c.Engineer,
					says: "equipment surveyed for " + study + After(" (engineer: ", c.Engineer) + closing(c.Engineer)})
			}
			s.add(Event{Date: c.Prepared, What: study + " prepared; locations.csv has its results now", By: c.Engineer,
				says: study + " prepared{by}; locations.csv has its results now"})
		}
		s.changes(v, id)
	}
	s.accepted(v.History.Ledger, id)
	known := s.ledger(v.History, id, v.Keys)
	s.intakes(v, id)
	for i := range v.Unlisted {
		if u := &v.Unlisted[i]; u.ID == id {
			s.Standing, s.state = &u.Standing, StandingWords(&u.Standing)
		}
	}
	if !listed && !known {
		return nil, &near.UnknownID{What: "location or printed label", IDs: []string{id}, Known: v.Known()}
	}
	s.order()
	return s, nil
}

// add adds an event that is not after today.
func (s *Story) add(e Event) {
	if !s.Today.Before(e.Date) {
		s.Events = append(s.Events, e)
	}
}

// changes adds the entries of the log that concern the location.
func (s *Story) changes(v *plant.Plant, id string) {
	reaches, notes := map[string]bool{}, v.History.Notes
	for _, c := range v.Site.Log.Changes {
		_, told := c.New[id]
		if told || slices.Contains(standing.Reached(v.Site, c.At, c.Kind.Reach), id) {
			reaches[c.ID] = true
			s.add(Event{Date: c.Date, What: c.Kind.Name + " at " + c.At, By: c.By, Role: notes.Role(c.Sum), Reason: c.Note,
				says: "change: " + c.Kind.Name + " at " + c.At + After(", reported by ", notes.Role(c.Sum).With(c.By)),
				turn: changed(v.History.Ledger, c.Date, c.ID, c.Sum, id)})
		}
	}
	for _, t := range v.Site.Log.Settlements {
		if reaches[t.Change] && t.Scope.Holds(id) {
			s.add(Event{Date: t.Date, What: "change " + t.Change + " settled", By: t.By, Role: notes.Role(t.Sum),
				says:   "change " + t.Change + " settled for this label{by}",
				Reason: t.Reason + After("; settled against its screening: ", t.AgainstScreening),
				turn:   settled(v.History.Ledger, t.Date, t.Change)})
		}
	}
	for _, r := range v.Site.Log.Reviews {
		if r.Scope.Holds(id) {
			s.add(Event{Date: r.Date, What: "study reviewed and found " + string(r.Finding), By: r.By, Role: notes.Role(r.Sum),
				says: "study reviewed{by} and found " + string(r.Finding), Reason: r.Reason, turn: reviewed(v.History.Ledger, r.Date, r.Sum)})
		}
	}
}

// accepted adds the findings that somebody accepted at the location, as the ledger notes them.
func (s *Story) accepted(l *record.Ledger, id string) {
	for _, n := range l.Accepted() {
		if n.At == id && !n.Ended.Failed {
			s.add(Event{Date: n.Date, What: "finding " + string(n.Finding) + " accepted", By: n.By, Role: n.Role, Reason: n.Reason,
				says: "finding " + string(n.Finding) + " accepted{by} until " + cmp.Or(n.Until.String(), "REVIEW BY"),
				turn: turn{inLedger, float64(n.Number - 1)}})
		}
	}
}

// things are what a print made.
var things = map[string]string{"": "label", "fault": "fault current marking", "overlay": "overlay"}

// ofLabel names a thing with the label to which it belongs.
func ofLabel(thing string) string {
	if thing == "" {
		return "label{code}"
	}
	return things[thing] + " of label{code}"
}

// closing closes a parenthesis that was opened for a text.
func closing(text string) string {
	if text == "" {
		return ""
	}
	return ")"
}

// ledger adds the lines that concern the location.
func (s *Story) ledger(h *record.History, id string, keys *seal.Keyring) bool {
	l, found := &h.Replay, false
	numbers := map[string]int{} // of the lines, by their hashes
	for i := range h.Ledger.Lines {
		numbers[h.Ledger.Lines[i].Hash] = i
	}
	for i := range l.Entries {
		p := &l.Entries[i]
		if p.ID != id || s.Today.Before(p.Date) {
			continue
		}
		found = true
		e := Event{Date: p.Date, By: p.By, Role: p.Role, Reason: p.Reason, turn: turn{inLedger, float64(numbers[p.Hash])}}
		if n := l.Records[p.Record]; n.Valid {
			e.Code = n.ID.Code()
		}
		switch p.Kind {
		case record.Withdrawn:
			e.What, e.says = "label withdrawn", "label{code} withdrawn{by}"
		case record.Mounted, record.Removed:
			// Who did it may be another person than who noted it, on a later day.
			e.What = fmt.Sprintf("%s %s on %s", things[p.Thing], p.Kind, p.Applied)
			e.says = fmt.Sprintf("%s %s on %s{noted}", ofLabel(p.Thing), p.Kind, p.Applied)
		case record.Seen:
			e.What = "on the equipment on " + p.Applied.String() + ": " + FoundWords(p.Sight.Found)
			e.says = "looked at on the equipment on " + p.Applied.String() + ": " + FoundWords(p.Sight.Found) + "{noted}"
		case record.Signed:
			s := seal.OfLine(p.Line, 0, keys)
			e.What, e.By = "record signed: "+string(s.Verdict), s.By
			e.says = "record of label{code} signed{by}; signature " + string(s.Verdict) + "; " + s.When()
		default:
			e.What = fmt.Sprintf("%s %sed, copy %d", things[p.Thing], p.Kind, p.Copy)
			e.says = fmt.Sprintf("%s %sed{by} (copy %d)", ofLabel(p.Thing), p.Kind, p.Copy)
			end := ""
			switch {
			case p.Strip:
				end = ", INTERIM: " + p.Interim
			case p.Failed:
				end = " (could not be written)"
			case !p.Done:
				end = " (started, not known to be finished)"
			}
			e.What, e.says = e.What+end, e.says+end
		}
		s.add(e)
	}
	return found
}

// intakes adds the intakes of the study files that the location's row or the
// records of its labels name as their source.
func (s *Story) intakes(v *plant.Plant, id string) {
	var all []*assess.Location
	if p, listed := v.Place(id); listed {
		all = append(all, p.Assessment.Location)
	}
	if printing, printed := v.History.Last(id); printed {
		for _, r := range append(v.History.Before(&printing), printing.Record) {
			if r != nil {
				all = append(all, r.Location)
			}
		}
	}
	files := map[string]bool{}
	for _, l := range all {
		for i := range l.Cases {
			if from, ok := assess.ParseSource(l.Cases[i].Source); ok {
				files[from.File] = true
			}
		}
	}
	for i := range v.History.Ledger.Lines {
		if l := &v.History.Ledger.Lines[i]; l.Kind == record.Intake && l.Study != nil && files[l.Study.File] {
			s.add(Event{Date: l.Date, What: "study file " + l.Study.File + " taken in", By: l.By, Role: l.Role,
				says: "study file " + l.Study.File + " taken into the site folder{by}",
				turn: turn{inLedger, float64(i)}})
		}
	}
}

// Text writes the story for a person.
func (s *Story) Text(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(Wrap(s.ID+": "+s.state+". Checked "+s.Today.String()+".", "", "  ", width) + "\n")
	for _, e := range s.Events {
		b.WriteString(Wrap(e.sentence(), e.Date.String()+"  ", strings.Repeat(" ", 12), width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
