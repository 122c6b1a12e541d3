// Package standing says whether labels still hold, and why not: because of the age of the
// study, changes upstream, or changes of row and policy since printing; and how far an
// input may move before a label is no longer true. It is pure, like all below assess.
//
//	standing.go  the states and the reasons
//	of.go        the standing of many labels at once
//	age.go       the age of the study
//	reach.go     which labels a change reaches
//	devices.go   devices that failed their maintenance
//	upstream.go  which labels rely on an upstream row that has changed
//	drift.go     what differs between a label's record and the folder now
//	touch.go     which changes concern a location
//	screen.go    a label compared with new values after a change
//	screen_on.go the same for its line about the maintenance switch
//	told.go      which changes give new values, and which settlements count against them
//	headroom.go  how far an input may move
package standing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
)

// Status is the short form of a standing, as `check --json` writes it.
type Status string

// The states, from bad to good: if several apply, the first one counts.
const (
	Withdrawn  Status = "withdrawn"
	Replaced   Status = "replaced"
	InQuestion Status = "in question"
	Lapsed     Status = "lapsed"
	FallsDue   Status = "falls due"
	Holds      Status = "holds"
)

// States lists all of them, from bad to good.
var States = []Status{Withdrawn, Replaced, InQuestion, Lapsed, FallsDue, Holds}

// Rank orders states from bad to good.
func (s Status) Rank() int { return slices.Index(States, s) }

// Cause is the kind of a reason, as `check --json` writes it.
type Cause string

const (
	ByAgeCause    Cause = "age"
	UpstreamCause Cause = "upstream change"
	RowCause      Cause = "upstream row"
	ReviewCause   Cause = "review"
	DataCause     Cause = "data drift"
	FindingCause  Cause = "finding"
	PolicyCause   Cause = "policy drift"
	AcceptCause   Cause = "acceptance" // has no standing of its own
	DeviceCause   Cause = "device maintenance"
	EditionCause  Cause = "edition drift" // has no standing of its own
	WithdrawCause Cause = "withdrawal"
	ReplacedCause Cause = "newer label"
	StripCause    Cause = "interim strip" // nor has this, nor the next
	OverlayCause  Cause = "overlay"
)

// Words is the cause for a person.
func (c Cause) Words() string {
	switch c {
	case DataCause:
		return "row changed since printing"
	case FindingCause:
		return "error in its row"
	case PolicyCause:
		return "policy changed since printing"
	}
	return string(c)
}

// Reason says why a label does not hold, or what to note about one that does. The
// earliest of several changes of one kind stands for all.
type Reason struct {
	*Ground
	Since  assess.Date `json:"since"`
	Latest assess.Date `json:"latest,omitzero"` // of several changes of this kind, if known
	Count  int         `json:"count,omitempty"` // of changes of this kind
	Found  bool        `json:"-"`               // Since is only the day on which it was found
}

// Ground is the basis of a reason; many labels share one.
type Ground struct {
	Cause       Cause        `json:"cause"`
	Kind        string       `json:"kind,omitempty"`         // of a change, in trade words
	Change      string       `json:"change,omitempty"`       // its name, of several the first
	Open        []string     `json:"open_changes,omitempty"` // of several, the first five
	Detail      string       `json:"detail"`
	Clears      string       `json:"clears,omitempty"` // the remedy in words, with its command
	Differences []Difference `json:"differences,omitempty"`

	Remedy assess.Remedy `json:"-"`
	Status Status        `json:"-"` // of the label because of it; Holds for a mere note
}

// OpenWords names the open changes of a reason.
func (r *Reason) OpenWords() string {
	names := r.Open
	if names == nil {
		names = []string{r.Change}
	}
	return named(names, r.Count)
}

// likewise says which of several open changes must be settled besides the first.
func (g *Ground) likewise(count int) string {
	return ", and likewise " + named(g.Open[1:], count-1)
}

// named lists names, and says how many more there are.
func named(names []string, count int) string {
	text := strings.Join(names, ", ")
	if more := count - len(names); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// Words is the detail, and how many more of its kind there are.
func (r *Reason) Words() string {
	s := r.Detail
	if r.Count > 1 {
		s += fmt.Sprintf(" and %d more", r.Count-1)
	}
	if r.Count > 1 && !r.Latest.IsZero() {
		s += ", the latest on " + r.Latest.String()
	}
	return s
}

// Standing is whether a label holds on a day, and why.
type Standing struct {
	Status  Status   `json:"status"`
	Reasons []Reason `json:"reasons"` // worst first
	// Until is the last day on which it holds as things are: REVIEW BY, or the earlier
	// day on which an acceptance ends.
	Until assess.Date `json:"until,omitzero"`
	// ReviewBy is the REVIEW BY that counts: from the last review and the shorter of the
	// label's and the owner's interval.
	ReviewBy assess.Date `json:"-"`
	// Ends is the acceptance that ends first, before REVIEW BY; nil for none.
	Ends *assess.Acceptance `json:"-"`
	// Outdated is true if a review began a new interval, and the day printed on the
	// label has passed.
	Outdated bool `json:"-"`
	// TooLow is true if new values after a change are known to exceed what is printed on
	// a label that may still be mounted. Its status stays in question; it comes before
	// all others.
	TooLow bool `json:"too_low,omitempty"`
	// Unfed is true if nothing says what feeds the location, so that no change upstream
	// can reach it.
	Unfed bool `json:"-"`
	// Settled counts the changes that reach the label and were settled.
	Settled int `json:"settled_changes"`
	// Screening compares the label with the new values of changes; nil if there are none.
	Screening *Screening `json:"screening,omitempty"`
	// Held are the changes whose settlement does not count: by the given values the label
	// prints too little, and nobody accepted that.
	Held []string `json:"held_changes,omitempty"`
	// Against are the settlements that released it although its screening was above what
	// it prints, in the order of the log. They are shown as long as the label exists.
	Against []AgainstScreening `json:"against_screening,omitempty"`
}

// add adds a reason, and its status if that is worse.
func (s *Standing) add(r Reason) {
	s.Reasons = append(s.Reasons, r)
	if r.Status.Rank() < s.Status.Rank() {
		s.Status = r.Status
	}
}

// order puts the worst reason first, and of equals the earliest.
func (s *Standing) order() {
	if s.Reasons == nil {
		s.Reasons = []Reason{}
	}
	slices.SortStableFunc(s.Reasons, func(a, b Reason) int {
		return cmp.Or(cmp.Compare(a.Status.Rank(), b.Status.Rank()), a.Since.Compare(b.Since))
	})
}

// Worst is the reason that decided the status, or nil if the label holds.
func (s *Standing) Worst() *Reason {
	if s.Status == Holds || len(s.Reasons) == 0 {
		return nil
	}
	return &s.Reasons[0]
}

// Renewed is the reason of a label whose study a review found right, but which still
// shows the old REVIEW BY; nil for none.
func (s *Standing) Renewed() *Reason {
	for i := range s.Reasons {
		if r := &s.Reasons[i]; r.Cause == ReviewCause && r.Status == Holds {
			return r
		}
	}
	return nil
}

// Understated reports whether new values after a change are known to exceed
// what is printed.
func (s *Standing) Understated() bool { return s.Screening != nil && s.Screening.Over }

// Cover says what to do about a label that is printed too low, and why.
const Cover = "COVER: printed too low"

// Urgency orders standings from bad to good like [Status.Rank], with labels printed too
// low before all others.
func (s *Standing) Urgency() int {
	if s.TooLow {
		return -1
	}
	return s.Status.Rank()
}

// NoChange is what a good standing says about changes. It never says that nothing was
// changed: only what was logged is known.
func (s *Standing) NoChange() string {
	switch {
	case s.Unfed && s.Settled > 0:
		return fmt.Sprintf("%s; %d logged here and settled", DatesOnly, s.Settled)
	case s.Unfed:
		return DatesOnly
	case s.Settled > 0:
		return fmt.Sprintf("%d logged and settled, no other change logged", s.Settled)
	}
	return "no change logged"
}

// DatesOnly is what the standing of a location without feeds is based on.
const DatesOnly = "dates only: no feed is given, so no change upstream can reach it"
