package logbook

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/shock"
	"vouchmark/assess/site"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Change is a change as it is entered.
type Change struct {
	Date      assess.Date
	At        string
	Kind      string
	Note, By  string
	site.Told // new values of one location
}

func (c *Change) after(v *plant.Plant, old []byte) (*added, error) {
	kind, err := site.ParseKind(c.Kind)
	if err != nil {
		return nil, &WrongError{"kind", err}
	}
	if err := known(v, "at", c.At); err != nil {
		return nil, err
	}
	add := assess.Change{Date: c.Date, At: c.At, Kind: kind}
	if add.Note, err = said("note", c.Note); err != nil {
		return nil, err
	}
	if add.By, err = answer("by", c.By, "name the person who reports it"); err != nil {
		return nil, err
	}
	if err := c.Told.Into(&add); err != nil {
		part := "new-case"
		if told := (*site.ToldError)(nil); errors.As(err, &told) {
			part = strings.ReplaceAll(told.Key, "_", "-")
		}
		return nil, &WrongError{part, err}
	}
	for _, id := range slices.Sorted(maps.Keys(add.New)) {
		if err := known(v, "new-…", id); err != nil {
			return nil, err
		}
		p, ok := v.Place(id)
		if err := doubt(&add, id, p); err != nil {
			return nil, err
		}
		if ok && c.Case != "" && p.Assessment.Location.CaseNamed(c.Case) == nil {
			return nil, &WrongError{"new-case", fmt.Errorf("%s has no case %q in locations.csv", id, c.Case)}
		}
	}
	what := fmt.Sprintf("change %s, %s", v.Logged.File.NextID(c.Date, c.At), kind.Name)
	notes := append(notYet(v, c.Date), unconnected(v, &add)...)
	sealed := func(read *assess.Log) []byte { // by then the points of curves are known
		add.New = read.Changes[len(read.Changes)-1].New
		return site.AppendChange(old, &add)
	}
	return &added{text: site.AppendChange(old, &add), name: what, notes: notes, sealed: sealed}, nil
}

// doubt refuses new values that are hardly meant. Of a location that is no
// longer listed nothing is known: it is taken to be like most, three-phase AC.
func doubt(c *assess.Change, id string, listed *plant.Place) error {
	supply := shock.AC3
	if listed != nil {
		supply = listed.Assessment.Location.Supply
	}
	values := c.New[id]
	key, what := values.Doubt(supply)
	if what == "" {
		return nil
	}
	return &WrongError{strings.ReplaceAll(key, "_", "-"), errors.New(id + ": " + what)}
}

// unconnected notes the locations that no feed connects: a change may or may
// not reach them.
func unconnected(v *plant.Plant, c *assess.Change) []string {
	ids := standing.Unconnected(v.Site, c)
	if ids == nil {
		return nil
	}
	return []string{"not known: no feed connects " + report.Few(ids) + " to anything upstream, so it is not known " +
		"whether the change reaches them or what they feed. Enter fed_from in locations.csv, " +
		"or list what is fed from outside the plant under sources in site.toml"}
}

// said is a text as it reads back from the file.
func said(part, s string) (string, error) { return oneLine(part, s, record.LongestReason) }

// answer is a text by which a person takes responsibility. One that says
// nothing, such as a dash, is refused as if it were empty.
func answer(part, s, empty string) (string, error) {
	longest := record.LongestReason
	if part == "by" {
		longest = record.LongestName
	}
	text, err := oneLine(part, s, longest)
	if err == nil && !assess.Says(text) {
		if text != "" {
			empty += fmt.Sprintf("; %q says nothing", text)
		}
		err = &WrongError{part, errors.New(empty)}
	}
	return text, err
}

func oneLine(part, s string, longest int) (string, error) {
	text, err := record.OneLine(s, longest)
	if err != nil {
		return "", &WrongError{part, err}
	}
	return text, nil
}

func notYet(v *plant.Plant, d assess.Date) []string {
	if v.Today.Before(d) {
		return []string{fmt.Sprintf("it is dated %s, after today (%s), and does not count until then", d, v.Today)}
	}
	return nil
}

// Settlement is a settlement as it is entered.
type Settlement struct {
	Change     string
	Date       assess.Date
	By, Reason string
	Scope      []string
	// AgainstScreening is why labels hold although their screening is above what
	// they print; "" where it releases no such label.
	AgainstScreening string
}

func (s *Settlement) after(v *plant.Plant, old []byte) (*added, error) {
	scope, err := scopeOf(v, s.Scope)
	if err != nil {
		return nil, err
	}
	reason, err := answer("reason", s.Reason, "say why the labels hold even so")
	if err != nil {
		return nil, err
	}
	against := ""
	if s.AgainstScreening != "" {
		against, err = answer("against-screening", s.AgainstScreening, "say why the labels hold although a screening is above "+
			"what they print")
	}
	if err != nil {
		return nil, err
	}
	by, err := answer("by", s.By, "name the person who settles it")
	if err != nil {
		return nil, err
	}
	changes := v.Site.Log.Changes
	i := slices.IndexFunc(changes, func(c assess.Change) bool { return c.ID == s.Change })
	switch {
	case i < 0:
		return nil, fmt.Errorf("no change %q is logged; a change is named by its date and location, such as 2026-08-11/SWB-1",
			s.Change)
	case !v.Logged.Has(&changes[i]):
		return nil, fmt.Errorf("%s has another text of %s than the ledger notes, or none: restore it first; vouchmark audit shows the line",
			assess.ChangesFile, s.Change)
	case s.Date.Before(changes[i].Date):
		return nil, &WrongError{"date", fmt.Errorf("%s is before the change", s.Date)}
	}
	low, others := v.TooLow(&changes[i], scope)
	switch {
	case low != nil && against == "":
		return nil, &AgainstError{s.Change, low, others}
	case low == nil && against != "":
		return nil, &WrongError{"against-screening",
			errors.New("no label in the scope has a screening above what it prints; settle it without")}
	}
	notes := notYet(v, s.Date)
	reached := standing.Reached(v.Site, changes[i].At, changes[i].Kind.Reach)
	reaches, holds := assess.Scope{IDs: reached}.Set(), scope.Set()
	for _, id := range scope.IDs {
		if _, told := changes[i].New[id]; !told && reached != nil && !reaches(id) {
			notes = append(notes, fmt.Sprintf("the change does not reach %s along the present feeds", id))
		}
	}
	add := assess.Settlement{Change: s.Change, Date: s.Date, By: by, Reason: reason, Scope: scope,
		AgainstScreening: against}
	for _, l := range low {
		notes = append(notes, l.ID+": "+l.Screening.Found()+"; the label's page shows this, and who is responsible for it")
	}
	for i := range v.Places {
		p := &v.Places[i]
		if told := p.Judged().Screening; told != nil && told.Unjudged && slices.Contains(told.Changes, s.Change) && holds(p.ID()) {
			notes = append(notes, p.ID()+": what the label says of the maintenance switch was not judged")
		}
	}
	settled := append(slices.Collect(maps.Keys(changes[i].New)), reached...)
	if reached == nil { // it is no longer known where the location was
		settled = slices.Collect(maps.Keys(v.Site.Index()))
	}
	settled = slices.DeleteFunc(settled, func(id string) bool { return !holds(id) })
	return &added{text: site.AppendSettlement(old, &add), name: "settled " + s.Change, notes: notes, settled: settled}, nil
}

// AgainstError refuses a settlement for labels whose screening is above what
// they print.
type AgainstError struct {
	Change string
	Low    []plant.TooLow
	Others []string // ids in the scope for which it could be settled
}

func (e *AgainstError) Error() string {
	var low []string
	for i, l := range e.Low {
		if i == most {
			low = append(low, fmt.Sprintf("and %d more", len(e.Low)-most))
			break
		}
		low = append(low, l.ID+": "+l.Screening.Found())
	}
	text := fmt.Sprintf("%s is not settled: per the logged changes, these labels show too little energy. %s. "+
		"Cover them until a study surveyed after the change is in locations.csv. A named person can take responsibility "+
		`for them even so, with --against-screening "REASON" and --by`, e.Change, strings.Join(low, "; "))
	if e.Others != nil {
		text += ". To settle it for the others: --scope " + strings.Join(e.Others, ",")
	}
	return text
}

// most is how many labels a refusal names.
const most = 12

// Review is a review as it is entered.
type Review struct {
	Date    assess.Date
	By      string
	Scope   []string
	Finding string
	Reason  string
}

func (r *Review) after(v *plant.Plant, old []byte) (*added, error) {
	scope, err := scopeOf(v, r.Scope)
	if err != nil {
		return nil, err
	}
	finding := assess.Finds(r.Finding)
	if finding != assess.FoundRight && finding != assess.FoundWrong {
		return nil, &WrongError{"finding", fmt.Errorf("found %q, expected right or wrong", r.Finding)}
	}
	by, err := answer("by", r.By, "name the person who reviewed it")
	if err != nil {
		return nil, err
	}
	reason, err := answer("reason", r.Reason, "say what the finding rests on")
	if err != nil {
		return nil, err
	}
	add := assess.Review{Date: r.Date, By: by, Scope: scope, Finding: finding, Reason: reason}
	notes := notYet(v, r.Date)
	if finding == assess.FoundRight {
		for _, l := range v.AllTooLow(scope) {
			notes = append(notes, "the review does not release this label and starts no new interval for it: "+
				l.ID+", "+l.Screening.Detail)
		}
	}
	what := fmt.Sprintf("review of %s, found %s", r.Date, finding)
	return &added{text: site.AppendReview(old, &add), name: what, notes: notes}, nil
}

func scopeOf(v *plant.Plant, words []string) (assess.Scope, error) {
	scope, err := site.ParseScope(v.IDs(words))
	if err != nil {
		return scope, &WrongError{"scope", err}
	}
	for _, id := range scope.IDs {
		if err := known(v, "scope", id); err != nil {
			return scope, err
		}
	}
	return scope, nil
}

func known(v *plant.Plant, part, id string) error {
	if id == "" {
		return &WrongError{part, errors.New("name a location")}
	}
	if _, ok := v.Place(id); !ok && !slices.Contains(v.Site.Policy.Former, id) {
		return &near.UnknownID{Flag: part, IDs: []string{id}, Known: append(v.Site.IDs(), v.Site.Policy.Former...)}
	}
	return nil
}
