package label

import (
	"cmp"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/boombuler/barcode/qr"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// place is an invented location with one case.
type place struct {
	id, area, equipment string
	supply              shock.Supply
	volts               assess.Volts
	energy              assess.CalCM2
	boundaryIn, distIn  float64
	movable             bool
	units               assess.Units
	kit                 string
	fault               assess.KA // 0: 18.35
}

func compose(t testing.TB, p place) (*record.Record, *Label) {
	t.Helper()
	prepared, err := assess.ParseDate("2026-03-14")
	if err != nil {
		t.Fatal(err)
	}
	if p.units == "" {
		p.units = assess.US
	}
	if p.kit == "" {
		p.kit = "Kit B"
	}
	if p.fault == 0 {
		p.fault = 18.35
	}
	s := &assess.Site{
		Policy: assess.Policy{Units: p.units, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			BelowThresholdWear: assess.Words{"": {"long sleeves"}},
			Ladder: []assess.Rung{{Kit: "Kit A", Rating: 4, Wear: assess.Words{"": {"shirt"}}}, {Kit: p.kit, Rating: 8, Wear: assess.Words{"": {"shirt", "hood"}}},
				{Kit: "Kit D", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
		Locations: []assess.Location{{ID: p.id, Area: p.area, Equipment: p.equipment, Supply: p.supply, Voltage: p.volts,
			Distance: assess.MM(assess.Round9(p.distIn * assess.MMPerInch)), Movable: p.movable,
			Cases: []assess.Case{{FedFrom: []string{"SWB-1"}, Energy: p.energy, Boundary: assess.MM(assess.Round9(p.boundaryIn * assess.MMPerInch)), Fault: p.fault,
				Method: assess.Stated, Study: "LC-26-03", Revision: "1", Prepared: prepared}}}},
	}
	s.Locations = append(s.Locations, assess.Location{ID: "SWB-1", Supply: shock.AC3, Voltage: 600, Distance: 457.2, Cases: []assess.Case{{Method: assess.Stated, Energy: 2, Boundary: 600, Prepared: prepared}}})
	if p.id == "SWB-1" {
		s.Locations = s.Locations[:1]
		s.Locations[0].Cases[0].FedFrom = nil
	}
	a := s.Assess(prepared)
	if !a[0].Prints() {
		t.Fatalf("%s: %v", p.id, a[0].Findings)
	}
	r := record.New(&a[0])
	return r, Compose(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Link: "HTTPS://LABELS.EXAMPLE.ORG", Languages: []string{"en", "es", "fr"}})
}

var places = []place{
	{id: "MCC-4", area: "Packaging hall", equipment: "Motor control center 4", supply: shock.AC3, volts: 480, energy: 6.518, boundaryIn: 45.9, distIn: 18},
	{id: "SWB-1", area: "Main room", equipment: "Switchboard", supply: shock.AC3, volts: 480, energy: 63, boundaryIn: 161, distIn: 18},
	{id: "LP-1", area: "Offices", equipment: "Lighting panel", supply: shock.AC3, volts: 208, energy: 0.74, boundaryIn: 13.2, distIn: 18},
	{id: "BAT-1", area: "Main room", equipment: "Battery", supply: shock.DC, volts: 125, energy: 1.79, boundaryIn: 22, distIn: 18},
	{id: "MVS-1", area: "Yard", equipment: "Switchgear", supply: shock.AC3, volts: 13800, energy: 2, boundaryIn: 49.9, distIn: 36},
	{id: "LP-9", area: "Offices", equipment: "Panel", supply: shock.AC1, volts: 120, energy: 0.3, boundaryIn: 8, distIn: 18},
	{id: "X-1", area: "Crane", equipment: "Collector", supply: shock.AC3, volts: 480, energy: 2.1, boundaryIn: 24.5, distIn: 18, movable: true},
	{id: "UPS-1", area: "Server room", equipment: "Control supply", supply: shock.DC, volts: 48, energy: 0.3, boundaryIn: 9, distIn: 18, fault: 0.4},
	{id: "MCC-SI", area: "Packaging hall", equipment: "Motor control center", supply: shock.AC3, volts: 480, energy: 6.518, boundaryIn: 45.9, distIn: 18, units: assess.SI},
	{id: "MCC-BOTH", area: "Packaging hall", equipment: "Motor control center", supply: shock.AC3, volts: 480, energy: 6.518, boundaryIn: 45.9, distIn: 18, units: assess.Both},
}

// The texts of each variant are in a golden file; -update rewrites it.
func TestGolden(t *testing.T) {
	var b strings.Builder
	for _, p := range places {
		_, l := compose(t, p)
		fmt.Fprintf(&b, "== %s chosen=%d danger=%v reach=%.1f\nqr: %s\n", l.ID, l.Chosen, l.Danger, l.Reach, l.QR)
		for _, w := range l.Words {
			fmt.Fprintf(&b, "%+v\n", w)
		}
		b.WriteString("\n")
	}
	got := regexp.MustCompile(` ([A-Z][A-Za-z]+):`).ReplaceAllString(b.String(), "\n  $1: ")
	path := filepath.Join("testdata", "words.txt")
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the words changed; look at the difference after go test ./label -update\n%s", got)
	}
}

// NFPA 70E 130.5(H) (2021) requires the nominal system voltage, the arc-flash
// boundary, and at least one of incident energy with its working distance, arc
// rating, or site-specific PPE, and never a category together with an incident
// energy. NEC 110.16 and 110.24 require the dates and the fault current.
func TestRequiredData(t *testing.T) {
	category := regexp.MustCompile(`(?i)\bcat(egory)?\b|\bhrc\b`)
	for _, p := range places {
		_, l := compose(t, p)
		w := l.Words[0]
		all := fmt.Sprintf("%+v", w)
		for what, ok := range map[string]bool{
			"voltage":                 strings.Contains(w.Supply, Voltage(p.volts)),
			"arc-flash boundary":      w.Arc != "" && w.ArcLength != "",
			"energy":                  strings.Contains(w.Energy, "cal/cm²") || strings.Contains(w.Energy, "J/cm²"),
			"working distance":        strings.Contains(w.EnergyNote, Distance(assess.MM(p.distIn*assess.MMPerInch), assess.Units(unitsOf(p)))),
			"study date":              strings.Contains(w.Dates, "2026-03-14"),
			"review date":             strings.Contains(w.Dates, "2031-03-14"),
			"fault current":           strings.Contains(w.Fault, Current(cmp.Or(p.fault, 18.35))),
			"no category":             !category.MatchString(all),
			"a signal word":           w.Signal == "WARNING" && !l.Danger || w.Signal == "DANGER" && l.Danger,
			"hazard and what to do":   w.Hazard != "" && len(w.Message) >= 2,
			"no kit where none holds": (l.Chosen >= 0) == (w.NoWork == "" && w.WearTitle == ""),
		} {
			if !ok {
				t.Errorf("%s: %s", p.id, what)
			}
		}
	}
}

func unitsOf(p place) assess.Units {
	if p.units == "" {
		return assess.US
	}
	return p.units
}

// The longest possible link stays within version 5 at error correction M
// (ISO/IEC 18004: 122 alphanumeric characters).
func TestFacts(t *testing.T) {
	for _, c := range []struct {
		place place
		want  string
	}{
		{places[0], "MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KIT-B"},
		{places[1], "SWB-1-2026-03-14-TO-2031-03-14-480V-63CAL-18IN-161IN-DANGER"},
		{places[2], "LP-1-2026-03-14-TO-2031-03-14-208V-0.8CAL-18IN-14IN-NOKIT"},
		{places[4], "MVS-1-2026-03-14-TO-2031-03-14-13.8KV-2CAL-36IN-50IN-KIT-A"},
		{place{id: "Schütz & Co./3", equipment: "x", supply: shock.AC3, volts: 480, energy: 6.5, boundaryIn: 45, distIn: 18, kit: "Très chaud"}, "SCHUTZ-CO.-3-2026-03-14-TO-2031-03-14-480V-6.5CAL-TRES-CHAUD"},
		{place{id: strings.Repeat("LONG-NAME-", 4), equipment: "x", supply: shock.AC3, volts: 480, energy: 6.5, boundaryIn: 45, distIn: 18, kit: strings.Repeat("WORD ", 5)}, "LONG-NAME-LONG-NAME-TO-2031-03-14-480V-6.5CAL-WORD-WORD-WO"},
	} {
		r, l := compose(t, c.place)
		got := Facts(r)
		if got != c.want {
			t.Errorf("%s: facts\n%s, want\n%s", c.place.id, got, c.want)
		}
		if len(got) > longestFacts || !regexp.MustCompile(`^[0-9A-Z.-]+$`).MatchString(got) {
			t.Errorf("%s: %d characters: %s", c.place.id, len(got), got)
		}
		if !strings.HasSuffix(l.QR, "/V/7K3M-9QTD-RC4A-0W2E/"+got) {
			t.Errorf("%s: QR %s", c.place.id, l.QR)
		}
		s, err := ParseQR(l.QR)
		if err != nil || s.Facts != got || s.Code != "7K3M-9QTD-RC4A-0W2E" {
			t.Errorf("ParseQR(%s) = %+v, %v", l.QR, s, err)
		}
		if s, err = ParseQR(QR("", "7K3M-9QTD-RC4A-0W2E", r)); err != nil || s.Facts != got {
			t.Errorf("without a link: %+v, %v", s, err)
		}
	}
	r, _ := compose(t, place{id: "MCC-1234567890123456789", equipment: "x", supply: shock.AC3, volts: 13812.3456, energy: 6.5, boundaryIn: 103, distIn: 36, kit: "Kit B longer name 123"})
	if f := Facts(r); len(f) > longestFacts || !strings.Contains(f, "13.8123456KV") {
		t.Errorf("%d characters: %s", len(f), f)
	}
	for _, s := range []string{"ɐɐɐɐɐɐɐɐɐɐ/v/", "/V/", "", "/v/7K3M-9QTD-RC4A-0W2E/"} {
		ParseQR(s) // must not panic
	}
	longest := "HTTPS://" + strings.Repeat("A", 27) + "/V/7K3M-9QTD-RC4A-0W2E/" + strings.Repeat("9", 64)
	code, err := qr.Encode(longest, qr.M, qr.Auto)
	if err != nil || (code.Bounds().Dx()-17)/4 != 5 {
		t.Errorf("%d characters make version %d, %v", len(longest), (code.Bounds().Dx()-17)/4, err)
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Energy(6.518, assess.US), "6.6 cal/cm²"},
		{Energy(8, assess.US), "8.0 cal/cm²"},
		{Energy(6.518, assess.SI), "27.3 J/cm² (6.6 cal/cm²)"},
		{Length(45.9*25.4, 45.9*25.4, assess.US), "46 in"},
		{Length(1066.8, 1066.8, assess.SI), "1070 mm"},
		{Length(48*25.4, 48*25.4, assess.US), "48 in"},
		{Length(12*25.4, 12*25.4, assess.US), "12 in"},
		{Length(304.8, 304.8, assess.SI), "310 mm"},
		{Distance(914.4, assess.US), "36 in"},
		{Distance(457.2, assess.Both), "18 in (460 mm)"},
		{Voltage(13800), "13.8 kV"}, {Voltage(480), "480 V"}, {Voltage(4160), "4.16 kV"},
		{Current(18.35), "18.4 kA"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// Every language has the same keys as English and fills in the same values, with the
// standard's signal words.
func TestLanguages(t *testing.T) {
	c := builtin()
	if got := strings.Join(c.Languages(), " "); got != "en es fr" {
		t.Errorf("languages %s", got)
	}
	slot := regexp.MustCompile(`\{[a-z_]+\}`)
	for lang, w := range c.byLanguage {
		en := english.fields()
		for key, text := range w.fields() {
			got, want := slot.FindAllString(fmt.Sprint(text), -1), slot.FindAllString(fmt.Sprint(en[key]), -1)
			slices.Sort(got)
			slices.Sort(want)
			if !slices.Equal(got, want) {
				t.Errorf("%s: %s fills in %v, English %v", lang, key, got, want)
			}
			if text.Kind() == reflect.Slice && text.Len() != en[key].Len() {
				t.Errorf("%s: %s has %d texts, English %d", lang, key, text.Len(), en[key].Len())
			}
		}
	}
	for lang, want := range map[string]string{"en": "WARNING DANGER", "es": "ADVERTENCIA PELIGRO", "fr": "AVERTISSEMENT DANGER"} {
		if w := c.byLanguage[lang]; w.SignalWarning+" "+w.SignalDanger != want {
			t.Errorf("%s: %s %s", lang, w.SignalWarning, w.SignalDanger)
		}
	}
}

// The owner may replace texts of a language, or add a language.
func TestOwnWording(t *testing.T) {
	english, err := wordingFiles.ReadFile("wording/en.toml")
	if err != nil {
		t.Fatal(err)
	}
	read := func(files map[string]string) (*Catalogue, error) {
		f := fstest.MapFS{}
		for name, text := range files {
			f[name] = &fstest.MapFile{Data: []byte(text)}
		}
		return ReadCatalogue(f, site.Options{})
	}
	c, err := read(map[string]string{"wording/en.toml": "hazard = \"ARC AND SHOCK\"\nmessage_danger = [\"No.\"]\n", "wording/pt.toml": string(english)})
	if err != nil || c.byLanguage["en"].Hazard != "ARC AND SHOCK" || c.byLanguage["en"].Arc != "ARC-FLASH BOUNDARY" || c.byLanguage["pt"] == nil {
		t.Errorf("%+v, %v", c, err)
	}
	if builtin().byLanguage["en"].Hazard == "ARC AND SHOCK" {
		t.Error("the owner's text changed the program's own")
	}
	for text, want := range map[string]string{
		"hazrd = \"x\"\n":    "wording/en.toml:1: hazrd: found an unknown key",
		"hazard = 7\n":       "wording/en.toml:1: hazard: found 7",
		"message_danger = 1": "expected a list of texts",
	} {
		if _, err := read(map[string]string{"wording/en.toml": text}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
	// A file of an earlier version is still read.
	var earlier []string
	for _, line := range strings.Split(string(english), "\n") {
		if key, _, pair := strings.Cut(line, " = "); !pair || !slices.Contains(later, key) {
			earlier = append(earlier, line)
		}
	}
	c, err = read(map[string]string{"wording/pt.toml": strings.Join(earlier, "\n")})
	if err != nil || c.byLanguage["pt"].Maintenance != c.byLanguage["en"].Maintenance ||
		c.byLanguage["pt"].WalkTitle != c.byLanguage["en"].WalkTitle || len(earlier) > strings.Count(string(english), "\n")+1-len(later) {
		t.Errorf("of an earlier version: %v", err)
	}
	if _, err := read(map[string]string{"wording/pt.toml": "hazard = \"x\"\n"}); err == nil || !strings.Contains(err.Error(), "no such key") {
		t.Errorf("a new language with one text: %v", err)
	}
}

// A value that looks like a place of the wording stays a value.
func TestFillOnce(t *testing.T) {
	if got := fill("study {study}, {revision}", "study", "{revision} {study}", "revision", "{study}"); got != "study {revision} {study}, {study}" {
		t.Error(got)
	}
}
