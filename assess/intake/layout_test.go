package intake

import (
	"strings"
	"testing"
)

const monthly = `Bus ID,Voltage (V),Trip,Energy,Boundary (in),Working Distance (in),Gap,Study Date,Remark
P-1,480,3,9.4,40,18,25,1/2/2026,a
P-2,480,6,2.9,32,18,25,1/3/2026,b
`

// What a person said of a file is said of every file with the same headings, in
// any order, and of no other.
func TestLayoutIsKept(t *testing.T) {
	said := Answers{Columns: []Answer{{Heading: "Trip", Column: "clear_cycles"}, {Heading: "Energy", Column: "energy_j_cm2"}},
		Leave: []string{"Remark"}, DateForm: "m/d/y",
		Give: []Given{{"supply", "ac3"}, {"distance", "18 in"}, {"prepared", "2026-03-14"}}}
	first := take(t, monthly, said, Context{Hertz: 60})
	text, err := first.AppendLayout([]byte("# my own words"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(text), "# my own words\n") {
		t.Errorf("lost what was there:\n%s", text)
	}
	layouts, err := ParseLayouts(text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if layouts[0].Give["prepared"] != "" || layouts[0].Give["supply"] != "ac3" {
		t.Errorf("the date of one study is used for the next: %v", layouts[0].Give)
	}
	c := Context{Hertz: 60, Layouts: layouts}
	moved := `Energy,Bus ID,Voltage (V),Trip,Boundary (in),Working Distance (in),Gap,Study Date,Remark
10.1,P-1,480,4,40,18,25,2/3/2026,a
`
	next := take(t, moved, Answers{}, c)
	if next.Layout == nil || next.meaning("clear").Spelling() != "clear_cycles" ||
		next.meaning("energy").Spelling() != "energy_j_cm2" || next.meaning("note") != nil || next.DateForm != "m/d/y" {
		t.Errorf("%s", show(next))
	}
	if again, err := next.AppendLayout(text); err != nil || string(again) != string(text) {
		t.Errorf("%v\n%s", err, again) // in another order, and the same layout
	}
	if same, _ := first.AppendLayout(text); string(same) != string(text) {
		t.Errorf("the same layout twice:\n%s", same)
	}
	// another heading: another layout
	other := take(t, strings.Replace(monthly, "Remark", "Column X", 1), Answers{}, c)
	if other.Layout != nil {
		t.Errorf("a layout of other headings was taken")
	}
	// what a person says now counts before what was said, also the next time
	now := take(t, moved, Answers{Columns: []Answer{{Heading: "Trip", Column: "clear_ms"}}}, c)
	if now.meaning("clear").Spelling() != "clear_ms" {
		t.Errorf("%s", show(now))
	}
	if text, err = now.AppendLayout(text); err != nil || strings.Count(string(text), "[[layout]]") != 2 {
		t.Fatalf("%v\n%s", err, text)
	}
	if layouts, err = ParseLayouts(text); err != nil {
		t.Fatal(err)
	}
	if last := take(t, moved, Answers{}, Context{Layouts: layouts}); last.meaning("clear").Spelling() != "clear_ms" {
		t.Errorf("%s", show(last))
	}
}

// Cells that speak against what was said of their heading are asked about.
func TestSaidUnitIsHeldAgainstCells(t *testing.T) {
	a := Answers{Columns: []Answer{{Heading: "Voltage", Column: "voltage_kv"}}}
	s := take(t, `Bus ID,Voltage,Bolted Fault (kA),Incident Energy (cal/cm2),Arc Flash Boundary (in),Working Distance (in)
P-1,480,22,9.4,40,18
P-2,208,22,9.4,40,18
`, a, Context{})
	if s.meaning("voltage") != nil || !strings.Contains(show(s), "voltage was said to be in kV, but its cells look like V") {
		t.Errorf("%s", show(s))
	}
}

func TestParseLayoutsReportsAll(t *testing.T) {
	_, err := ParseLayouts([]byte("[[layout]]\nfile = \"a\"\nhedings = []\ndate_form = \"y/m/d\"\n[layout.columns]\nvoltage_in = \"V\"\n" +
		"[layout.give]\nsupply = \"ac9\"\n"))
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{"hedings: found an unknown key, expected one such as headings", "date_form", "voltage_in", "supply is one of"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in\n%v", want, err)
		}
	}
	if _, err := ParseLayouts([]byte("[[layout]\n")); err == nil || !strings.Contains(err.Error(), "intake.toml:") {
		t.Errorf("%v", err)
	}
}

// A file that no person writes is refused before it is parsed.
func TestParseLayoutsLimits(t *testing.T) {
	for name, data := range map[string]string{
		"deep":   "x = " + strings.Repeat("[", 10000),
		"long":   strings.Repeat("# long\n", 1<<20),
		"UTF-16": "\xff\xfel\x00",
	} {
		if _, err := ParseLayouts([]byte(data)); err == nil || !strings.Contains(err.Error(), "intake.toml") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestParseAnswers(t *testing.T) {
	for text, want := range map[string]string{
		"Trip Time=clear_s": "clear_s", "a=b=voltage_kv": "voltage_kv", "D=distance_cm": "distance_cm",
		"B=boundary_ft_in": "boundary_ft_in", "V=voltage": "voltage", "L=limited_approach_in": "limited_approach_in",
		"X=glove_class": "glove_class",
	} {
		a, err := ParseAnswer(text)
		if err != nil || a.Column != want {
			t.Errorf("%s: %+v, %v", text, a, err)
		}
	}
	for _, text := range []string{"Trip Time", "=clear_s", "A=clear_kv", "A=sorce", "A=source", "A="} {
		if a, err := ParseAnswer(text); err == nil {
			t.Errorf("%s: %+v", text, a)
		}
	}
	for _, text := range []string{"supply=3", "prepared=2026-03-14", "distance_in=18", "distance=455 mm", "distance_ft_in=1'-6\""} {
		if _, err := ParseGiven(text); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
	for _, text := range []string{"supply=9", "prepared=3/4/2026", "energy_cal_cm2=4", "id=4", "supply", "distance=18", "clear_ms=50", "distance_in=x", "distance=18 kA", "area"} {
		if g, err := ParseGiven(text); err == nil {
			t.Errorf("%s: %+v", text, g)
		}
	}
}
