package label

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

var factsForm = regexp.MustCompile(`^[0-9A-Z.-]{1,64}$`)

// hostileFacts are the facts of an invented record with any names and numbers,
// checked to be a folder's name that leads nowhere else.
func hostileFacts(t testing.TB, r *record.Record, id, kit string, status assess.KitStatus, volts, energy float64) string {
	t.Helper()
	r.Location.ID, r.Location.Voltage = id, assess.Volts(volts)
	r.Energy.Value = assess.CalCM2(energy)
	r.Kit, r.Status = kit, status
	f := Facts(r)
	if !factsForm.MatchString(f) || f == "." || f == ".." || strings.Contains(f, "/") {
		t.Errorf("id %q, kit %q, %g V, %g cal/cm2: %d characters, %q", id, kit, volts, energy, len(f), f)
	}
	for _, must := range []string{"TO-2031-03-14", "CAL"} {
		if !strings.Contains(f, must) {
			t.Errorf("id %q, kit %q: %q lacks %s", id, kit, f, must)
		}
	}
	// Such a folder cannot be made on every system, but existing records have such facts.
	if strings.HasSuffix(f, ".") && (status != assess.KitChosen || !strings.HasSuffix(plain(kit), ".")) {
		t.Errorf("id %q, kit %q: %q ends in a dot", id, kit, f)
	}
	if s, err := ParseQR("HTTPS://LABELS.EXAMPLE.ORG/V/7K3M-9QTD-RC4A-0W2E/" + f); err != nil || s.Facts != f {
		t.Errorf("%q reads back as %q, %v", f, s.Facts, err)
	}
	return f
}

var statuses = []assess.KitStatus{assess.KitChosen, assess.NoneAllowed, assess.NotRequired}

// Whatever the names are, the facts are the name of one folder, use only the
// alphanumeric set of QR codes, and fit into the code.
func TestFactsOfHostileNames(t *testing.T) {
	r, _ := compose(t, places[0])
	parts := []string{"../", "..", ".", "/", "\\", "-", "%2e", "%2F", "\x00", "\n", "\u202e", "é", "ß", "ı", "ﬁ", "İ", "<script>", "A", "9", " ", "V", "index.html", "日本", "\xff", "\u0301", ":", "?", "#", "&amp;", "CON", "~"}
	random := rand.New(rand.NewPCG(1, 2))
	text := func() string {
		var b strings.Builder
		for range random.IntN(12) {
			b.WriteString(parts[random.IntN(len(parts))])
		}
		return b.String()
	}
	number := func() float64 { return assess.Round9(math.Pow(10, random.Float64()*18-9)) } // what a cell may contain
	longest := 0
	for range 50000 {
		f := hostileFacts(t, r, text(), text(), statuses[random.IntN(3)], number(), number())
		longest = max(longest, len(f))
	}
	if longest != longestFacts {
		t.Errorf("the longest facts have %d characters, want %d", longest, longestFacts)
	}
}

func FuzzFacts(f *testing.F) {
	f.Add("../../etc/x", "Kit A.", byte(0), 480.0, 6.5)
	f.Add("..", "..", byte(0), 1e-9, 1e9)
	f.Add(strings.Repeat(".", 40), strings.Repeat("-", 24), byte(0), 13812.3456, 1e9)
	f.Add("\u202e\xff", "", byte(1), 480.0, 50.0)
	r, _ := compose(f, places[0])
	f.Fuzz(func(t *testing.T, id, kit string, status byte, volts, energy float64) {
		if !(volts >= 1e-9 && volts <= 1e9 && energy >= 1e-9 && energy <= 1e9) {
			return // no cell may contain it
		}
		copied, location := *r, *r.Location
		copied.Location = &location
		hostileFacts(t, &copied, id, kit, statuses[status%3], assess.Round9(volts), assess.Round9(energy))
	})
}
