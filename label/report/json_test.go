package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
)

// few is an invented site of one place with a bound, one with a maintenance
// switch, one without a label and one that cannot be read.
func few(t *testing.T) *plant.Plant {
	t.Helper()
	today, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	s := &assess.Site{Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60,
		Govern: assess.Larger, Languages: []string{"en"}, Sources: []string{"U-1"},
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 8, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	prepared := today.AddDays(-40)
	add := func(id string, cases ...assess.Case) *assess.Location {
		for i := range cases {
			c := &cases[i]
			c.Method, c.Prepared = assess.Stated, prepared
			if id != "U-1" {
				c.FedFrom = []string{"U-1"}
			}
		}
		s.Locations = append(s.Locations, assess.Location{ID: id, Equipment: "Switchboard", Supply: shock.AC3, Voltage: 480, Distance: 609.6, Cases: cases})
		return &s.Locations[len(s.Locations)-1]
	}
	u := add("U-1", assess.Case{Fault: 40})
	u.Unlabeled, u.Distance = true, 0
	add("B-1", assess.Case{Energy: 40, Bound: assess.Above, Boundary: 4064, Fault: 32})
	add("M-1", assess.Case{Name: "off", Energy: 20, Boundary: 2900, Fault: 32},
		assess.Case{Name: "on", Maintenance: true, Energy: 3.06, Boundary: 980, Fault: 32, Device: "52-M", DeviceAt: "U-1"})
	x := add("X-1", assess.Case{})
	x.Voltage, x.Distance, x.Supply = 0, 0, ""
	x.Unreadable = []assess.Finding{{Level: assess.Error, Code: assess.Unreadable, Field: "voltage_v", Message: "found “TBD”, expected a number", Line: 5}}
	v, err := plant.New(s, nil, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// keys are the places of check --json, by id.
func keys(t *testing.T, v *plant.Plant) (places map[string]map[string]any, problems []any) {
	t.Helper()
	var b bytes.Buffer
	if err := whole(v).JSON(&b); err != nil {
		t.Fatal(err)
	}
	var site struct {
		Locations []map[string]any
		Problems  []any
	}
	if err := json.Unmarshal(b.Bytes(), &site); err != nil {
		t.Fatal(err)
	}
	places = map[string]map[string]any{}
	for _, l := range site.Locations {
		places[l["id"].(string)] = l
	}
	return places, site.Problems
}

func TestJSONOfRareThings(t *testing.T) {
	places, problems := keys(t, few(t))
	for id, want := range map[string]map[string]any{
		"B-1": {"signal": "DANGER", "kit": nil, "kit_status": "none allowed", "energy_cal_cm2": 40.0, "energy_bound": "above",
			"energy_printed": "above 40 cal/cm²", "maintenance": nil, "unlabeled": false},
		"M-1": {"signal": "WARNING", "kit": "Kit B", "energy_cal_cm2": 20.0, "energy_bound": nil, "energy_printed": "20 cal/cm²"},
		"U-1": {"unlabeled": true, "ready": false, "signal": nil, "kit": nil, "kit_status": nil, "energy_cal_cm2": nil, "energy_bound": nil,
			"energy_printed": nil, "boundary_mm": nil, "boundary_printed": nil, "distance_mm": nil, "glove_class": nil, "fault_ka": 40.0},
		// Nothing that reads as a number is said of a place that cannot be read.
		"X-1": {"ready": false, "signal": nil, "kit": nil, "kit_status": nil, "energy_cal_cm2": nil, "energy_bound": nil, "energy_printed": nil,
			"boundary_mm": nil, "boundary_printed": nil, "maintenance": nil, "distance_mm": nil, "voltage_v": nil, "supply": nil, "fault_ka": nil,
			"glove_class": nil, "limited_mm": nil, "restricted_mm": nil, "restricted_status": nil, "standing": nil, "code": nil},
	} {
		for key, value := range want {
			if got, there := places[id][key]; !there || got != value {
				t.Errorf("%s: %s is %v (%v), want %v", id, key, got, there, value)
			}
		}
	}
	m, _ := places["M-1"]["maintenance"].(map[string]any)
	for key, value := range map[string]any{"energy_cal_cm2": 3.06, "energy_printed": "3.1 cal/cm²", "energy_bound": nil, "boundary_mm": 980.0,
		"boundary_printed": "39 in", "kit": "Kit A", "kit_status": "kit", "signal": "WARNING", "device": "52-M", "device_at": "U-1"} {
		if m[key] != value {
			t.Errorf("maintenance: %s is %v, want %v", key, m[key], value)
		}
	}
	if len(problems) != 1 || problems[0].(map[string]any)["code"] != "unreadable" {
		t.Errorf("problems %v", problems)
	}
}

// The table shows a finding's code, so that a person can accept it.
func TestTableOfRareThings(t *testing.T) {
	var b strings.Builder
	if err := whole(few(t)).Text(&b, 160, true); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"[unreadable]", "above 40 cal/cm²"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the table lacks %q:\n%s", want, &b)
		}
	}
	if strings.Contains(b.String(), " 0 in") {
		t.Errorf("a distance that is not given is printed:\n%s", &b)
	}
}

// whole is check of a whole plant.
func whole(v *plant.Plant) *Check { return NewCheck(v, v, Filter{}) }
