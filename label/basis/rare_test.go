package basis

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
)

// item is what the basis of a record says under a name; empty for nothing.
func item(items []Item, name string) Item {
	for _, i := range items {
		if i.Name == name {
			return i
		}
	}
	return Item{}
}

func TestBoundItems(t *testing.T) {
	const energy = "Incident energy at 24 in"
	r := board(t)
	r.Location.Cases[0].Energy, r.Location.Cases[0].Bound, r.Computed[0] = 40.04, assess.Above, nil
	r.Energy = assess.Governing[assess.CalCM2]{Value: 40.04, Case: "normal", From: assess.FromStudy, Bound: assess.Above}
	r.Signal, r.Status, r.Kit = assess.Danger, assess.NoneAllowed, ""
	for name, want := range map[string][2]string{
		energy:        {"above 40 cal/cm²", "above 40.04 cal/cm² stated by the study, case \"normal\"; rounded down, so that"},
		"Signal word": {"DANGER", "only known to be above 40.04 cal/cm²; the owner's cutoff is 40 cal/cm²"},
		"Kit":         {"NO ENERGIZED WORK", "the energy has no known upper limit, so no kit can be chosen"},
	} {
		if i := item(Items(r), name); i.Value != want[0] || !strings.Contains(i.Why, want[1]) {
			t.Errorf("%s: %+v, want %q", name, i, want)
		}
	}

	r = board(t)
	c := &r.Location.Cases[0]
	c.Energy, c.Bound, c.Boundary, r.Computed[0] = 1.2, assess.Under, 0, nil
	r.Energy = assess.Governing[assess.CalCM2]{Value: 1.2, Case: "normal", From: assess.FromStudy, Bound: assess.Under}
	r.Boundary = assess.Governing[assess.MM]{Value: 609.6, Case: "normal", From: assess.FromStudy}
	r.BoundaryToPrint, r.Signal, r.Status, r.Kit = 609.6, assess.Warning, assess.NotRequired, ""
	for name, want := range map[string][2]string{
		energy:               {"below 1.2 cal/cm²", "below 1.2 cal/cm² stated by the study"},
		"Signal word":        {"WARNING", "below 1.2 cal/cm², which is not above the owner's cutoff of 40"},
		"Arc-flash boundary": {"24 in", "not stated: the energy at the working distance is below 1.2 cal/cm²"},
		"Kit":                {"arc-rated clothing not required", "the study states an energy below 1.2 cal/cm²"},
	} {
		if i := item(Items(r), name); i.Value != want[0] || !strings.Contains(i.Why, want[1]) {
			t.Errorf("%s: %+v, want %q", name, i, want)
		}
	}
}

// A link whose energy is not the record's is told by the energy alone, with its
// bound.
func TestBoundDifferences(t *testing.T) {
	r := board(t)
	r.Energy.Bound, r.Energy.Value = assess.Above, 40
	truth := label.Facts(r)
	if got := differences(label.Scanned{Facts: truth}, r); got != nil {
		t.Error(got)
	}
	for from, want := range map[string]string{
		"6.6CAL":       "Incident energy: label 6.6CAL, record ABOVE-40CAL",
		"BELOW-1.2CAL": "Incident energy: label BELOW-1.2CAL, record ABOVE-40CAL",
		"ABOVE-60CAL":  "Incident energy: label ABOVE-60CAL, record ABOVE-40CAL",
	} {
		got := differences(label.Scanned{Facts: strings.Replace(truth, "ABOVE-40CAL", from, 1)}, r)
		if len(got) != 1 || got[0] != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func maintained(t *testing.T) *record.Record {
	r := board(t)
	on := r.Location.Cases[0]
	on.Name, on.Maintenance, on.Energy, on.Boundary = "switch on", true, 3.06, 711.2
	r.Location.Cases, r.Computed = append(r.Location.Cases, on), append(r.Computed, nil)
	r.Maintenance = &assess.Maintenance{
		Energy:   assess.Governing[assess.CalCM2]{Value: 3.06, Case: on.Name, From: assess.FromStudy},
		Boundary: assess.Governing[assess.MM]{Value: 711.2, Case: on.Name, From: assess.FromStudy}, BoundaryToPrint: 711.2,
		Signal: assess.Warning, Status: assess.KitChosen, Kit: "Kit A", Device: "52-M", DeviceAt: "SWG-1",
	}
	return r
}

func TestMaintenanceItem(t *testing.T) {
	const name = "With the maintenance switch on"
	if i := item(Items(board(t)), name); i.Name != "" {
		t.Errorf("%+v", i)
	}
	r := maintained(t)
	i := item(Items(r), name)
	if i.Value != "ONLY with the maintenance switch ON: 3.1 cal/cm², Kit A, boundary 28 in" ||
		!strings.Contains(i.Why, `3.06 cal/cm² stated by the study, case "switch on"`) || strings.Contains(i.Why, "leaves this line off") {
		t.Errorf("%+v", i)
	}
	r.Policy.MaintenanceOnPage = true
	if i = item(Items(r), name); !strings.Contains(i.Value, "3.1 cal/cm²") || !strings.Contains(i.Why, "leaves this line off the label") {
		t.Errorf("left off: %+v", i)
	}
	r.Maintenance.Signal, r.Maintenance.Status, r.Maintenance.Kit = assess.Danger, assess.NoneAllowed, ""
	if i = item(Items(r), name); !strings.HasPrefix(i.Value, "NO ENERGIZED WORK, even with the maintenance switch ON") {
		t.Errorf("DANGER: %+v", i)
	}
}

func TestServiceAndRating(t *testing.T) {
	r := board(t)
	r.Location.Rating, r.Location.Cases[0].ServiceClearing = 42, 16.66666
	r.Accept = []assess.Acceptance{{Finding: assess.OverRating, By: "E. Sample, PE"}}
	if i := item(Items(r), "Available fault current"); !strings.Contains(i.Why, "rating of 42 kA") {
		t.Errorf("%+v", i)
	}
	if i := item(Items(r), "Service device clearing time"); i.Value != "16.7 ms" || !strings.Contains(i.Why, "16.66666 ms") ||
		!strings.Contains(i.Why, "110.16(B)") {
		t.Errorf("%+v", i)
	}
}

// Why an arc counts as two seconds is said of each case by the reason that
// counted.
func TestTwoSecondReasons(t *testing.T) {
	r := board(t)
	other := r.Location.Cases[0]
	other.Name, other.TwoSecondReason = "minimum", "wide aisle, two ways out"
	long := *r.Computed[0]
	long.Clear, long.ClearFrom = assess.TwoSeconds, "two seconds"
	r.Policy.TwoSecondReason = "everybody can step back"
	r.Location.Cases = append(r.Location.Cases, other)
	for _, c := range []struct {
		computed []*assess.Computed
		want     string
	}{
		{[]*assess.Computed{r.Computed[0], r.Computed[0]}, ""},
		{[]*assess.Computed{r.Computed[0], &long}, "wide aisle, two ways out (two_second_reason of its row)"},
		{[]*assess.Computed{&long, r.Computed[0]}, "everybody can step back"},
		{[]*assess.Computed{&long, &long}, "wide aisle, two ways out (two_second_reason of its row); everybody can step back"},
	} {
		r.Computed = c.computed
		var got []string
		for _, i := range PolicyItems(r) {
			if strings.HasPrefix(i.Name, "Longest arc") {
				got = append(got, i.Why)
			}
		}
		if strings.Join(got, "; ") != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Findings that a record noted are in its text and its JSON, with their meaning.
func TestNoted(t *testing.T) {
	r := maintained(t)
	r.Codes = []assess.Code{assess.OldMethod, "a-code-of-later"}
	v := &View{Known: Known{Draft: true}, Record: r}
	var text bytes.Buffer
	if err := v.Text(&text, 200); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"FINDINGS OF THE PROGRAM WHEN IT WAS PRINTED", "  results by IEEE 1584-2002 or an older edition [old-method]",
		"this version of the program does not know this code [a-code-of-later]", "ONLY with the maintenance switch ON"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, &text)
		}
	}
	// What is found again from the inputs is said of this row, not in general.
	c := &r.Location.Cases[0]
	c.ClearReduced, c.Curve, r.Codes = 0, "", []assess.Code{assess.NotRecomputable}
	if all := NotedOf(r); len(all) != 1 || !strings.Contains(all[0].Text(), "no arc duration at the reduced arcing current") {
		t.Errorf("%+v", all)
	}
	r.Codes = []assess.Code{assess.OldMethod, "a-code-of-later"}
	data, err := json.Marshal(v.JSON())
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		EnergyBound *string `json:"energy_bound"`
		Maintenance struct {
			Energy  float64 `json:"energy_cal_cm2"`
			Printed string  `json:"energy_printed"`
			Kit     string  `json:"kit"`
			At      string  `json:"device_at"`
			OnLabel bool    `json:"on_label"`
		}
		Findings []Noted
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	m := got.Maintenance
	if got.EnergyBound != nil || m.Energy != 3.06 || m.Printed != "3.1 cal/cm²" || m.Kit != "Kit A" || m.At != "SWG-1" || !m.OnLabel ||
		len(got.Findings) != 2 || got.Findings[0].Code != assess.OldMethod || got.Findings[0].Meaning == "" {
		t.Errorf("%+v", got)
	}
	v.Record = board(t)
	v.Record.Codes = nil
	if data, err = json.Marshal(v.JSON()); err != nil || !bytes.Contains(data, []byte(`"maintenance":null`)) ||
		!bytes.Contains(data, []byte(`"findings":[]`)) {
		t.Errorf("%s, %v", data, err)
	}
}

// What a row proves beyond its study is traced to the equation that proves it.
func TestProvenItem(t *testing.T) {
	r := board(t)
	r.Proven = []*assess.Computed{r.Computed[0]}
	r.Computed = []*assess.Computed{nil}
	r.Location.Cases[0].Method = assess.Stated
	i := item(Items(r), "Incident energy at 24 in")
	if !strings.Contains(i.Why, "at least, proven from the row's own inputs by IEEE 1584-2018") || strings.Contains(i.Why, "study's word") {
		t.Errorf("%+v", i)
	}
}
