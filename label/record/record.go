package record

import (
	"reflect"
	"slices"

	"vouchmark/assess"
)

// Schema is the format of the record files that this program writes. It reads
// every earlier format.
const Schema = 2

// Record is one stored calculation: its inputs, and the outcome that follows from
// them under its rules number.
type Record struct {
	Schema          int `json:"schema"`
	Rules           int `json:"rules"` // see assess.Rules
	assess.Inputs   `json:"inputs"`
	*assess.Outcome `json:"outcome"` // shared with the assessment that it was made of: never altered

	first  *schema1 // the format in which it was read, if that is the first
	short  bool     // its results have no steps: where it is stored or shown, they are made
	stored ID       // the record in the folder that says the same; zero for none known
}

// New is the record of an assessment that prints.
func New(a *assess.Assessment) *Record {
	return &Record{Schema: Schema, Rules: assess.Rules, Inputs: a.Deciding(&a.Outcome), Outcome: &a.Outcome, short: true}
}

// Next is the record that a print stores: now, the record of the row as it is, or the
// record of the label printed last, with its code, where that shows the same facts.
// printed is that record, nil for none.
func Next(printed, now *Record) *Record {
	if printed != nil && printed.sameLabel(now) {
		return printed
	}
	return now
}

// Again reports whether r, made of the same assessment as an earlier record, is still
// the same: acceptances may have been revoked since, and feeds replaced by those that
// another label noted.
func (r *Record) Again(earlier *Record) bool {
	accept := func(a, b assess.Acceptance) bool { return reflect.DeepEqual(a, b) }
	return slices.EqualFunc(r.Accept, earlier.Accept, accept) && slices.Equal(r.Feeds, earlier.Feeds) &&
		slices.Equal(r.Codes, earlier.Codes)
}

// RowOf is the row of a case, or the first row if the record does not have the case.
func (r *Record) RowOf(name string) assess.Row {
	if c := r.Location.CaseNamed(name); c != nil {
		return assess.Row{Location: r.Location, Case: c}
	}
	return r.Location.Row(0)
}

// ComputedOf is the recomputed result of a case, or nil.
func (r *Record) ComputedOf(name string) *assess.Computed {
	for i := range r.Location.Cases {
		if r.Location.Cases[i].Name == name {
			return r.Computed[i]
		}
	}
	return nil
}

// ProvenOf is what the row of a case proves although its method gives no result,
// or nil.
func (r *Record) ProvenOf(name string) *assess.Computed {
	for i := range min(len(r.Proven), len(r.Location.Cases)) {
		if r.Location.Cases[i].Name == name {
			return r.Proven[i]
		}
	}
	return nil
}

// Differs judges the record's inputs again and says how the outcome differs; "" if
// it is the same. A record of older rules is not judged again: judged is false, and
// its hash is the proof.
func (r *Record) Differs() (what string, judged bool) {
	if r.Rules != assess.Rules {
		return "", false
	}
	again, o := *r, assess.Judge(&r.Inputs)
	again.Outcome = &o
	return differences(r, &again), true
}
