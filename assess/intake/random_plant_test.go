package intake

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
)

// entry is a row of a canonical site: a location in one case. Its numbers are in the
// program's own units. All is invented.
type entry struct {
	words map[string]string  // by column
	nums  map[string]float64 // by column
	bound string             // of the energy: "", ">", "<" or "≥"

	covered []string // columns whose cell a merged one covers
	broken  bool     // its row was written with a delimiter too many
}

// plant is a canonical site.
type plant struct {
	entries []*entry
	supply  string // "" where it differs
	hertz   float64
}

func pick[T any](r *rand.Rand, from []T) T { return from[r.IntN(len(from))] }

// chance is true once in so many times.
func chance(r *rand.Rand, once int) bool { return r.IntN(once) == 0 }

// places are prefixes of ids with what is there and its class.
var places = []struct{ prefix, what, class string }{
	{"SWGR", "Switchgear", "switchgear"}, {"SWB", "Main switchboard", "switchboard"}, {"PNL", "Panel", "panelboard"},
	{"MCC", "Motor control center", "mcc"}, {"DS", "Disconnect for pump", "disconnect"}, {"T", "Dry-type transformer", "transformer"},
	{"LP", "Lighting panel", "panelboard"}, {"BAT", "Battery disconnect", "battery"}, {"XB", "Control cabinet", "other"},
}

// oddIDs are ids in which a reader may see something else.
var oddIDs = []string{"12", "0033", "007", "9E42", "MAX-1", "Total Flow Panel", "SUM-2", "Average Depth Pump", "A", "B", "1.5", "3-4", "MIN",
	"Totalizer 4", "Note Press 1", "Date Sorter", "Page 2 Press", "2026-03-14"}

// newPlant makes a random site.
func newPlant(r *rand.Rand) *plant {
	p := &plant{hertz: 60}
	if chance(r, 6) {
		p.hertz = 50
	}
	n := 1 + r.IntN(6)
	if chance(r, 5) {
		n = 1 + r.IntN(30)
	}
	odd := chance(r, 6)
	sign := pick(r, []string{"-", "-", "-", " ", "", "/", "."})
	prepared := randomDate(r)
	mixed := chance(r, 4)
	kind := pick(r, []string{"lv", "lv", "lv", "mv", "dc"})
	var ids []string
	var parents []*entry
	for i := range n {
		if mixed {
			kind = pick(r, []string{"lv", "lv", "mv", "dc"})
		}
		place := pick(r, places)
		id := fmt.Sprintf("%s%s%d%s", place.prefix, sign, 1+i, pick(r, []string{"", "", "A", "B"}))
		if odd && chance(r, 3) {
			if o := pick(r, oddIDs); !slices.ContainsFunc(ids, func(s string) bool { return fold(s) == fold(o) }) {
				id = o
			}
		}
		ids = append(ids, id)
		e := newEntry(r, kind)
		e.words["id"] = id
		e.words["equipment"] = fmt.Sprintf("%s %d", place.what, i+1)
		if chance(r, 12) {
			e.words["equipment"] += ", room " + strconv.Itoa(100+i)
		}
		e.words["class"] = place.class
		e.words["area"] = pick(r, []string{"Boiler house", "Mill", "Warehouse 2", "Area 300"})
		e.words["study"], e.words["prepared"], e.words["surveyed"] = "R-2026", prepared, prepared
		if chance(r, 10) {
			e.words["prepared"] = randomDate(r)
		}
		if i > 0 {
			up := parents[r.IntN(len(parents))].words["id"]
			e.words["fed_from"] = up
			e.words["device"] = pick(r, []string{up + " feeder " + strconv.Itoa(i), "52-" + strconv.Itoa(i), up + " CB" + strconv.Itoa(i) + " to " + id, "FU " + strconv.Itoa(i)})
		} else {
			e.words["device"] = "utility main"
		}
		if chance(r, 4) {
			e.words["note"] = pick(r, []string{"see drawing 12", "spare", "verify", "2 sections, 480 V", "*"})
		}
		parents = append(parents, e)
		if !chance(r, 9) {
			p.entries = append(p.entries, e)
			continue
		}
		e.words["case"] = "Utility"
		other := newEntry(r, kind)
		for _, name := range []string{"voltage", "distance", "rating"} {
			other.nums[name] = e.nums[name]
		}
		for name, text := range e.words {
			other.words[name] = text
		}
		other.words["case"] = "Generator"
		p.entries = append(p.entries, e, other)
	}
	p.supply = p.entries[0].words["supply"]
	for _, e := range p.entries {
		if e.words["supply"] != p.supply {
			p.supply = ""
		}
	}
	return p
}

func randomDate(r *rand.Rand) string {
	return fmt.Sprintf("20%02d-%02d-%02d", 20+r.IntN(7), 1+r.IntN(12), 1+r.IntN(28))
}

// newEntry is a location of a kind, without its names.
func newEntry(r *rand.Rand, kind string) *entry {
	e := &entry{words: map[string]string{"supply": "ac3"}, nums: map[string]float64{}}
	n := e.nums
	n["distance"] = pick(r, []float64{457.2, 457.2, 609.6, 914.4, 455, 610})
	n["fault"] = near(1.5 * math.Exp(r.Float64()*3.6))
	n["clear"] = near(pick(r, []float64{8, 16, 25, 33, 50, 83, 100, 200, 333, 500, 1200, 2000}) * (0.9 + 0.2*r.Float64()))
	n["clear_reduced"] = near(n["clear"] * (1 + r.Float64()))
	n["rating"] = pick(r, []float64{10, 14, 22, 35, 42, 65, 100})
	n["device_rating"] = pick(r, []float64{10, 14, 25, 30, 65, 100, 200})
	n["gap"] = pick(r, []float64{25, 25, 32, 13})
	e.words["electrodes"] = pick(r, []string{"VCB", "VCBB", "HCB"})
	switch kind {
	case "mv":
		n["voltage"] = pick(r, []float64{2400, 4160, 6900, 12470, 13800, 34500})
		n["gap"] = pick(r, []float64{104, 152})
	case "dc":
		n["voltage"] = pick(r, []float64{125, 250, 500, 48})
		e.words["supply"] = "dc"
		delete(e.words, "electrodes")
		delete(n, "clear_reduced")
	default:
		n["voltage"] = pick(r, []float64{480, 480, 480, 208, 240, 600, 400, 690})
		if chance(r, 8) {
			n["voltage"], e.words["supply"] = 240, "ac1"
		}
	}
	n["energy"] = near(0.3 * math.Exp(r.Float64()*5.5))
	n["boundary"] = near(n["distance"] * math.Pow(n["energy"]/1.2, 0.6))
	n["height"], n["width"], n["depth"] = pick(r, []float64{355.6, 508, 914.4}), pick(r, []float64{304.8, 508, 914.4}), pick(r, []float64{203.2, 508, 914.4})
	n[limited], n[restricted] = pick(r, []float64{1066.8, 1524}), pick(r, []float64{304.8, 660.4})
	switch r.IntN(14) {
	case 0:
		e.bound, n["energy"] = ">", 40
	case 1:
		e.bound, n["energy"] = "<", 1.2
	case 2:
		e.bound = "≥"
	}
	for _, name := range []string{"rating", "device_rating", "gap", "clear_reduced", "height", "depth", "energy", "boundary", "fault", "clear"} {
		if chance(r, 25) { // what the study says nothing of
			delete(n, name)
			if name == "energy" {
				e.bound = ""
			}
		}
	}
	return e
}

// near is a number with four digits.
func near(v float64) float64 {
	s, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	return s
}

// digits spells a number with so many significant digits, without an exponent.
func digits(v float64, n int) string {
	places := max(0, n-1-int(math.Floor(math.Log10(math.Abs(v)))))
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(s, ".") && places > 0 && n%2 == 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}
