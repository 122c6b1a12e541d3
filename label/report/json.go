package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// The structs below are the contract of `check --json`: keys are added, none
// is renamed.
type siteJSON struct {
	Site           string           `json:"site"`
	Today          assess.Date      `json:"today"`
	PolicyFindings []assess.Finding `json:"policy_findings"`
	Locations      []placeJSON      `json:"locations"`
	Unlisted       []unlistedJSON   `json:"unlisted"` // printed labels whose row is gone
	Problems       []problemJSON    `json:"problems"` // what stops a label, as one list; of very many, see findings_more
	Summary        summaryJSON      `json:"summary"`
	Suggestions    []Suggestion     `json:"suggestions"` // settings of site.toml that would help
	Filter         *Filter          `json:"filter"`      // which locations are listed; null for all of them
}

// summaryJSON counts what is listed.
type summaryJSON struct {
	Locations    int          `json:"locations"`
	All          int          `json:"all_locations"` // of the site, whatever the filter
	WouldPrint   int          `json:"would_print"`
	WouldNot     int          `json:"would_not"`
	WithoutLabel int          `json:"without_label"` // label = no
	WithoutRow   int          `json:"without_row"`   // labels whose row is gone
	TooLow       int          `json:"too_low"`
	States       []StateCount `json:"states"`
	Reasons      []*Kind      `json:"reasons"`  // why labels would not print, most common first
	Cautions     []*Kind      `json:"cautions"` // likewise
}

type problemJSON struct {
	ID      string      `json:"id"` // "" for what stops all of them
	File    string      `json:"file"`
	Line    int         `json:"line"`
	Column  string      `json:"column"`
	Message string      `json:"message"`
	Code    assess.Code `json:"code"` // of the finding
}

type unlistedJSON struct {
	ID          string            `json:"id"`
	PrintedCode record.Code       `json:"printed_code"`
	Standing    standing.Standing `json:"standing"`
	Earlier     []earlierJSON     `json:"earlier"`
}

// earlierJSON is a label that was replaced by another.
type earlierJSON struct {
	Code     record.Code       `json:"code"`
	Standing standing.Standing `json:"standing"`
}

// placeJSON is one location. What has no value is null, never a number or an
// empty text: about a place that cannot be read, or has no label, hardly
// anything is known.
type placeJSON struct {
	ID               string             `json:"id"`
	Unlabeled        bool               `json:"unlabeled"` // label = no
	Signal           *assess.Signal     `json:"signal"`    // null where there is no energy
	Kit              *string            `json:"kit"`
	KitStatus        *assess.KitStatus  `json:"kit_status"`
	EnergyCal        assess.CalCM2      `json:"energy_cal_cm2"`
	EnergyBound      *assess.Bound      `json:"energy_bound"`
	EnergyPrinted    *string            `json:"energy_printed"`
	BoundaryMM       assess.MM          `json:"boundary_mm"`
	BoundaryPrinted  *string            `json:"boundary_printed"`
	Maintenance      *Maintenance       `json:"maintenance"`
	DistanceMM       assess.MM          `json:"distance_mm"`
	VoltageV         *float64           `json:"voltage_v"`
	Supply           *shock.Supply      `json:"supply"`
	FaultKA          assess.KA          `json:"fault_ka"`
	GloveClass       *string            `json:"glove_class"`
	LimitedMM        assess.MM          `json:"limited_mm"`
	RestrictedMM     assess.MM          `json:"restricted_mm"`
	RestrictedStatus *shock.Rule        `json:"restricted_status"` // null where no row covers the voltage
	Prepared         *assess.Date       `json:"prepared"`
	ReviewBy         *assess.Date       `json:"review_by"`
	Ready            bool               `json:"ready"`        // whether a print of the whole site would print it
	Refused          *string            `json:"refused"`      // why not
	Standing         *standing.Standing `json:"standing"`     // of the label printed last; null where none was printed
	Code             *record.Code       `json:"code"`         // of what print would print now
	PrintedCode      *record.Code       `json:"printed_code"` // of the label printed last, of which standing speaks
	Mounted          *assess.Date       `json:"mounted"`      // since when it is mounted, where somebody noted it
	Earlier          []earlierJSON      `json:"earlier"`
	Headroom         standing.Headroom  `json:"headroom"`
	Computed         *Computed          `json:"computed"`
	NotComputed      string             `json:"not_computed,omitempty"`
	Assumed          []string           `json:"assumed,omitempty"` // columns taken from typical values
	Findings         []assess.Finding   `json:"findings"`
	// FindingsMore is how many more cells of its rows cannot be read, where very many of the
	// site cannot: they are only counted.
	FindingsMore int `json:"findings_more,omitempty"`
}

// JSON writes it for a program.
func (c *Check) JSON(w io.Writer) error {
	v := c.plant
	t := tallied(v)
	prints, _, not, without := printing(v)
	out := siteJSON{Site: v.Site.Policy.Name, Today: v.Today, PolicyFindings: OrEmpty(v.Findings),
		Locations: make([]placeJSON, len(v.Places)), Unlisted: []unlistedJSON{}, Problems: []problemJSON{},
		Summary: summaryJSON{t.locations, len(c.all.Places), prints, not, without, t.unlisted, t.tooLow, t.states(),
			OrEmpty(whyNot(v)), OrEmpty(cautions(v))},
		Suggestions: OrEmpty(suggestions(v))}
	if c.partial() {
		out.Filter = &c.filter
	}
	for _, f := range v.Findings {
		if f.Level == assess.Error {
			out.Problems = append(out.Problems, problemJSON{"", cmp.Or(f.File, "site.toml"), f.Line, f.Field, f.Message, f.Code})
		}
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		out.Unlisted = append(out.Unlisted, unlistedJSON{u.ID, u.Printed.ID.Code(), u.Standing, earlier(v, &u.Printed)})
	}
	listed := listing{}
	for i := range v.Places {
		p := &v.Places[i]
		few, more := listed.fewer(p.Assessment.Findings)
		out.Locations[i] = placeOf(v, p, few, more)
		for _, f := range few {
			if f.Level == assess.Error {
				out.Problems = append(out.Problems, problemJSON{p.ID(), "locations.csv", f.Line, f.Field, f.Message, f.Code})
			}
		}
	}
	return WriteJSON(w, out)
}

func placeOf(v *plant.Plant, p *plant.Place, findings []assess.Finding, more int) placeJSON {
	a, l := p.Assessment, p.Assessment.Location
	j := placeJSON{
		ID: l.ID, Unlabeled: l.Unlabeled, KitStatus: Given(a.Status),
		EnergyCal: a.Energy.Value, EnergyBound: Given(a.Energy.Bound), BoundaryMM: a.Boundary.Value,
		Maintenance: NewMaintenance(&a.Inputs, &a.Outcome), DistanceMM: l.Distance, Supply: Given(l.Supply),
		FaultKA: a.Fault.Value, GloveClass: Given(a.Glove.Class),
		LimitedMM: assess.MM(a.Shock.Limited), RestrictedMM: assess.MM(a.Shock.Restricted),
		RestrictedStatus: Given(a.Shock.Rule),
		Prepared:         givenDate(a.Prepared), ReviewBy: givenDate(a.ReviewBy), Findings: OrEmpty(findings), FindingsMore: more,
		Earlier: []earlierJSON{}, Headroom: p.Headroom, Assumed: l.Assumed(), Kit: Given(a.Kit), Code: Given(p.Code()),
	}
	if a.Status != "" {
		j.Signal = &a.Signal
	}
	if v := float64(l.Voltage); v > 0 {
		j.VoltageV = &v
	}
	switch r := p.Refusal(false); {
	case r != nil:
		j.Refused = &r.Why
	default:
		j.Ready = !l.Unlabeled
	}
	if p.Printed != nil {
		j.PrintedCode, j.Earlier = Given(p.Printed.ID.Code()), earlier(v, p.Printed)
		j.Standing = &p.Printed.Standing
		j.Mounted = givenDate(p.Printed.Mounted)
	}
	energy, boundary, _ := numbers(a)
	j.EnergyPrinted, j.BoundaryPrinted = Given(energyPrinted(energy)), Given(boundary)
	if r := a.Worst(); r != nil {
		j.Computed = NewComputed(r, false)
	} else {
		j.NotComputed = a.NotComputed[0]
	}
	return j
}

func earlier(v *plant.Plant, p *plant.Printed) []earlierJSON {
	all := []earlierJSON{}
	for _, e := range p.Earlier {
		all = append(all, earlierJSON{e.ID.Code(), v.Replaced(e)})
	}
	return all
}

// energyPrinted is an energy as labels word it, in the form that JSON has had from
// the beginning: without a trailing .0.
func energyPrinted(text string) string { return strings.ReplaceAll(text, ".0 ", " ") }

// Given is nil (null) for a text that is not given.
func Given[T ~string](word T) *T {
	if word == "" {
		return nil
	}
	return &word
}

// givenDate is nil (null) for a date that is not given.
func givenDate(d assess.Date) *assess.Date {
	if d.IsZero() {
		return nil
	}
	return &d
}

// OrEmpty turns a nil list into an empty one: [] in JSON.
func OrEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// WriteJSON writes a value as indented JSON.
func WriteJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := io.WriteString(w, escaped(b.String()))
	return err
}

// acted reports whether a terminal would act on a character (other than the line
// end) or not show it.
func acted(r rune) bool { return r != '\n' && assess.Unseen(r) }

// escaped is JSON in which every character that a terminal would act on or not
// show is written as \u and its number: to a program it is the same.
func escaped(text string) string {
	if !strings.ContainsFunc(text, acted) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case !acted(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}
