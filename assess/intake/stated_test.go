package intake

import (
	"fmt"
	"slices"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// judged takes a study into an empty site and judges it.
func judged(t *testing.T, s *Study) []assess.Assessment {
	t.Helper()
	l, err := s.Locations(nil, "new.csv", false)
	if err != nil || s.Questions != nil {
		t.Fatal(err, show(s))
	}
	at, err := site.Read(fstest.MapFS{"site.toml": {Data: []byte(policy)}, "locations.csv": {Data: l.CSV}}, site.Options{})
	if err != nil {
		t.Fatalf("%v\n%s", err, l.CSV)
	}
	today, _ := assess.ParseDate("2026-05-01")
	return at.Assess(today)
}

// Approach boundaries by NFPA 70E-2024 Table 130.4(E)(a): 151 V to 750 V, fixed
// part 3 ft 6 in and restricted 1 ft; 751 V to 15 kV, 5 ft and 2 ft 2 in. Glove
// classes by ASTM D120-14a Table 2: class 00 to 500 V, class 2 to 17 kV.
func TestCompareStated(t *testing.T) {
	s := take(t, `Bus ID,Description,Supply,Voltage (kV),Incident Energy (cal/cm2),Arc Flash Boundary (in),Working Distance (in),Study Date,Limited Approach (in),Restricted Approach (ft-in),Glove Class,PPE Level,Signal Word
OK-1,Panel,ac3,0.48,2.9,32.4,18,2026-03-14,42,1-0,00,Level 1,WARNING
OK-2,Gear,ac3,13.8,4.2,76,36,2026-03-14,60,2-2,Class 2,Level 1,Warning!
M-1,Panel,ac3,0.48,2.9,32.4,18,2026-03-14,36,2-2,0,Level 1,DANGER
D-1,Panel,ac3,0.48,85.8,196.6,24,2026-03-14,42,1-0,00,Level 4,WARNING
D-2,Panel,ac3,0.48,85.8,196.6,24,2026-03-14,42,1-0,00,DANGER - do not work,DANGER
W-1,Panel,ac3,0.48,2.9,32.4,18,2026-03-14,42,1-0,00,Dangerous,WARNING
`, Answers{}, Context{})
	differs, pairs := s.Compare(judged(t, s))
	var got []string
	for _, d := range differs {
		got = append(got, fmt.Sprintf("%s %s: %s, %s", d.ID, d.What, d.Study, d.Derived))
	}
	want := []string{
		"M-1 limited approach boundary: 36, 42 in (1066.8 mm)",
		`M-1 restricted approach boundary: 2'-2", 12 in (304.8 mm)`,
		"M-1 glove class: 0, 00",
		"M-1 signal word: DANGER, WARNING",
		"D-1 signal word: WARNING, DANGER",
		"D-1 PPE: Level 4, none allowed",
		"W-1 PPE: Dangerous, Kit A",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
	var words []string
	for _, p := range pairs {
		words = append(words, fmt.Sprintf("%s=%s x%d %v", p.Study, p.Kit, len(p.IDs), p.Mixed))
	}
	if want := []string{"DANGER - do not work=none allowed x1 false", "Dangerous=Kit A x1 false", "Level 1=Kit A x3 false",
		"Level 4=none allowed x1 false"}; !slices.Equal(words, want) {
		t.Errorf("%q", words)
	}
}

// A metric study states the meters of the table, which are not a conversion of its
// feet: 1.0 m and 0.3 m at 480 V.
func TestCompareMetric(t *testing.T) {
	s := take(t, `Bus ID,Description,Supply,Voltage (V),Incident Energy (cal/cm2),Arc Flash Boundary (mm),Working Distance (mm),Study Date,Limited Approach (m),Restricted Approach (mm)
OK-1,Panel,ac3,480,2.9,823,457.2,2026-03-14,1.0,300
M-1,Panel,ac3,480,2.9,823,457.2,2026-03-14,1.5,avoid contact
`, Answers{}, Context{})
	differs, _ := s.Compare(judged(t, s))
	if len(differs) != 2 || differs[0].ID != "M-1" || differs[1].ID != "M-1" {
		t.Errorf("%+v", differs)
	}
}
