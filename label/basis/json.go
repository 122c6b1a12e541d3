package basis

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// JSON is the view for a program.
func (v *View) JSON() any {
	return struct {
		Code        record.Code         `json:"code"`
		SHA256      string              `json:"sha256"`
		Facts       string              `json:"facts"`
		Today       assess.Date         `json:"today,omitzero"`
		Verdict     string              `json:"verdict"`
		Standing    standing.Standing   `json:"standing"`
		ReplacedBy  *record.Code        `json:"replaced_by"`
		FoundOn     []string            `json:"found_on"` // other locations on whose equipment it was found
		Differences []string            `json:"differences"`
		Items       []Item              `json:"items"`
		EnergyBound *assess.Bound       `json:"energy_bound"`
		Maintenance *report.Maintenance `json:"maintenance"`
		Sources     []Source            `json:"sources"`  // of its rows
		Findings    []Noted             `json:"findings"` // when it was printed, from its own rows
		Accepted    []Accepted          `json:"accepted"`
		Prints      []Print             `json:"prints"`
		Computed    []any               `json:"computed"` // one for each row
		Headroom    standing.Headroom   `json:"headroom"`
		Signatures  []seal.Signature    `json:"signatures"`
		Changes     []Change            `json:"changes"`      // newest first
		MoreChanges int                 `json:"more_changes"` // how many older ones are left out
		Reviews     []Review            `json:"reviews"`
		Record      any                 `json:"record"` // as it is stored
		Cautions    []string            `json:"cautions"`
		Problems    []string            `json:"problems"` // the differences, under the key of every command that fails
	}{
		v.ID.Code(), v.ID.String(), label.Facts(v.Record), v.Today, v.verdictLine(), v.Standing,
		report.Given(v.NewerCode), report.OrEmpty(v.Strays), report.OrEmpty(v.Differences), Items(v.Record),
		report.Given(v.Record.Energy.Bound), report.NewMaintenance(&v.Record.Inputs, v.Record.Outcome),
		report.OrEmpty(v.Sources),
		report.OrEmpty(NotedOf(v.Record)), v.Accepted(), report.OrEmpty(v.Prints),
		v.computed(), v.Headroom, report.OrEmpty(v.Signatures), report.OrEmpty(v.Changes), v.MoreChanges,
		report.OrEmpty(v.Reviews), v.Record.Form(), Cautions, report.OrEmpty(v.Differences),
	}
}

// computed is what the equations give for each row, or why they give nothing.
func (v *View) computed() []any {
	var all []any
	for _, e := range v.Evaluations {
		if e.Result != nil {
			all = append(all, report.NewComputed(e.Result, true))
		} else {
			all = append(all, map[string]string{"case": e.Case, "method": string(e.Method), "not_computed": e.Reason})
		}
	}
	return all
}
