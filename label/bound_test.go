package label

import (
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
)

// noted is the record of an invented place, in given units, with rarely used
// columns.
func noted(t *testing.T, u assess.Units, change func(r *record.Record)) *record.Record {
	t.Helper()
	r, _ := compose(t, place{id: "SWB-2", area: "Main room", equipment: "Switchboard", supply: shock.AC3, volts: 480,
		energy: 6.518, boundaryIn: 45.9, distIn: 18, units: u})
	change(r)
	return r
}

// inAll are the texts of a record in English, Spanish and French.
func inAll(r *record.Record) []Words {
	return Compose(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Languages: []string{"en", "es", "fr"}}).Words
}

func above(r *record.Record) {
	r.Energy = assess.Governing[assess.CalCM2]{Value: 40.04, From: assess.FromStudy, Bound: assess.Above}
	r.Signal, r.Status, r.Kit = assess.Danger, assess.NoneAllowed, ""
}

func below(r *record.Record) {
	r.Energy = assess.Governing[assess.CalCM2]{Value: 1.2, From: assess.FromStudy, Bound: assess.Under}
	r.Status, r.Kit = assess.NotRequired, ""
}

// A bound in a study is printed as a bound, and stays true: "above" is never rounded
// up, "below" never down. In J/cm² 40.04 is 167.53 and 1.2 is
// 5.02 (4.184 J to the calorie).
func TestBoundWords(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		units  assess.Units
		want   [3]string
		fact   string
	}{
		{"above", above, assess.US, [3]string{"above 40 cal/cm²", "más de 40 cal/cm²", "plus de 40 cal/cm²"}, "-ABOVE-40CAL-"},
		{"above", above, assess.SI, [3]string{"above 167.5 J/cm² (40 cal/cm²)", "más de 167.5 J/cm² (40 cal/cm²)",
			"plus de 167,5 J/cm² (40 cal/cm²)"}, "-ABOVE-40CAL-"},
		{"above", above, assess.Both, [3]string{"above 40 cal/cm² (167.5 J/cm²)", "más de 40 cal/cm² (167.5 J/cm²)",
			"plus de 40 cal/cm² (167,5 J/cm²)"}, "-ABOVE-40CAL-"},
		{"below", below, assess.US, [3]string{"below 1.2 cal/cm²", "menos de 1.2 cal/cm²", "moins de 1,2 cal/cm²"}, "-BELOW-1.2CAL-"},
		{"below", below, assess.SI, [3]string{"below 5.1 J/cm² (1.2 cal/cm²)", "menos de 5.1 J/cm² (1.2 cal/cm²)",
			"moins de 5,1 J/cm² (1,2 cal/cm²)"}, "-BELOW-1.2CAL-"},
		{"below", below, assess.Both, [3]string{"below 1.2 cal/cm² (5.1 J/cm²)", "menos de 1.2 cal/cm² (5.1 J/cm²)",
			"moins de 1,2 cal/cm² (5,1 J/cm²)"}, "-BELOW-1.2CAL-"},
	} {
		r := noted(t, c.units, c.change)
		for i, w := range inAll(r) {
			if w.Energy != c.want[i] {
				t.Errorf("%s in %s, %s: %q, want %q", c.name, w.Language, c.units, w.Energy, c.want[i])
			}
			if c.name == "above" && !strings.HasPrefix(w.NoWorkWhy, w.Energy) {
				t.Errorf("the reason says %q", w.NoWorkWhy)
			}
		}
		if got := EnergyOf(r.Energy, c.units); got != c.want[0] {
			t.Errorf("printed %q, want %q", got, c.want[0])
		}
		f := Facts(r)
		if !strings.Contains(f, c.fact) {
			t.Errorf("facts %s lack %s", f, c.fact)
		}
		if s, err := ParseQR(QR("HTTPS://LABELS.EXAMPLE.ORG", "7K3M-9QTD-RC4A-0W2E", r)); err != nil || s.Facts != f {
			t.Errorf("reads back as %+v, %v", s, err)
		}
	}
}

// A bound counts when facts are shortened, but is itself never left out.
func TestBoundShortensFacts(t *testing.T) {
	for _, c := range []struct{ id, want string }{
		{"SWB-2", "SWB-2-2026-03-14-TO-2031-03-14-480V-ABOVE-40CAL-18IN-46IN-DANGER"},
		{"SWB-2222", "SWB-2222-2026-03-14-TO-2031-03-14-480V-ABOVE-40CAL-46IN-DANGER"},
		{"MAIN-BOARD-N", "MAIN-BOARD-N-2026-03-14-TO-2031-03-14-480V-ABOVE-40CAL-DANGER"},
		{"MAIN-SWITCHBOARD", "MAIN-SWITCHBOARD-TO-2031-03-14-480V-ABOVE-40CAL-DANGER"},
		{"MAIN-SWITCHBOARD-NORTH-HALL", "MAIN-SWITCHBOARD-NOR-TO-2031-03-14-480V-ABOVE-40CAL-DANGER"},
	} {
		r := noted(t, assess.US, above)
		r.Location.ID = c.id
		if f := Facts(r); f != c.want {
			t.Errorf("%d characters, %s, want %s", len(f), f, c.want)
		}
	}
}
