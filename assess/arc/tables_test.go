package arc

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// The tests of this file show that coefficients.go equals testdata/ieee1584_tables.md
// number by number, that Evaluate equals a second, plain implementation that reads only
// that file, and that a wrong last digit in any coefficient would be seen. They do not show
// that the tables equal the standard's: for the VCB rows Annex D.1 and D.2 do; the other
// rows rest on agreeing transcriptions (see doc.go).

// plainTables holds the file: table number → row name → numbers as printed.
type plainTables map[int]map[string][]string

func readTables(t testing.TB) plainTables {
	data, err := os.ReadFile("testdata/ieee1584_tables.md")
	if err != nil {
		t.Fatal(err)
	}
	tables, n := plainTables{}, 0
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if rest, ok := strings.CutPrefix(line, "## Table "); ok {
			number, _, _ := strings.Cut(rest, ":")
			if n, err = strconv.Atoi(number); err != nil {
				t.Fatal(err)
			}
			tables[n] = map[string][]string{}
			continue
		}
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| ---") {
			continue
		}
		cells := strings.Split(strings.Trim(line, "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		names := 1
		if n == 1 || n == 7 {
			names = 2 // electrodes and voltage, box and electrodes
		}
		if cells[0] == "electrodes" || cells[0] == "box" {
			continue
		}
		tables[n][strings.Join(cells[:names], " ")] = cells[names:]
	}
	return tables
}

func (p plainTables) row(t testing.TB, table int, name string) []float64 {
	cells := p[table][name]
	if cells == nil {
		t.Fatalf("no row %q in table %d", name, table)
	}
	row := make([]float64, len(cells))
	for i, c := range cells {
		x, err := strconv.ParseFloat(c, 64)
		if err != nil {
			t.Fatal(err)
		}
		row[i] = x
	}
	return row
}

var tableVolts = [3]string{"600", "2700", "14300"}

// TestTables compares coefficients.go with the file, number by number, and checks that
// Tables 3 to 5 repeat k4 to k10 of Table 1, which coefficients.go holds once.
func TestTables(t *testing.T) {
	p := readTables(t)
	count := 0
	same := func(what string, got, want float64) {
		t.Helper()
		count++
		if got != want {
			t.Errorf("%s: %v in coefficients.go, %v in the file", what, got, want)
		}
	}
	for e := VCB; e <= HOA; e++ {
		for i, k := range p.row(t, 2, e.String()) {
			same("Table 2 "+e.String(), variationTable[e.row()][i], k)
		}
		for v, volts := range tableVolts {
			k := p.row(t, 1, e.String()+" "+volts)
			c := currentTable[e.row()][v]
			what := "Table 1 " + e.String() + " " + volts
			same(what, c.k1, k[0])
			same(what, c.k2, k[1])
			same(what, c.k3, k[2])
			for i := range c.poly {
				same(what, c.poly[i], k[3+i])
			}
			k = p.row(t, 3+v, e.String())
			r := energyTable[e.row()][v]
			what = "Table " + strconv.Itoa(3+v) + " " + e.String()
			for i, got := range []float64{r.k1, r.k2, r.k3} {
				same(what, got, k[i])
			}
			for i := range c.poly {
				same(what+" k4 to k10", c.poly[i], k[3+i])
			}
			for i, got := range []float64{r.k11, r.k12, r.k13} {
				same(what, got, k[10+i])
			}
		}
		if e.Enclosed() {
			for b, box := range []string{"typical", "shallow"} {
				for i, k := range p.row(t, 7, box+" "+e.String()) {
					same("Table 7 "+box+" "+e.String(), sizeTable[b][e.row()][i], k)
				}
			}
		}
	}
	if want := 5*7 + 15*10 + 15*13 + 6*3; count != want {
		t.Errorf("compared %d numbers, want %d", count, want)
	}
}

// plainResult is what the plain implementation gives: kA, J/cm2, mm.
type plainResult struct {
	i, iMin, e, eMin, afb, afbMin, cf float64
}

func (r plainResult) list() []float64 {
	return []float64{r.i, r.iMin, r.e, r.eMin, r.afb, r.afbMin, r.cf}
}

// plain is a second implementation, slow and as near to the printed equations as Go allows,
// from the numbers of the file; tab reads a row of a table.
func plain(tab func(table int, name string) []float64, in Input, t, tMin float64) plainResult {
	name, v, g, ibf := in.Electrodes.String(), in.VoltageV/1000, in.GapMM, in.FaultKA
	pow, lg := math.Pow, math.Log10
	var r plainResult

	// Equations 11 to 15.
	r.cf = 1
	if in.Electrodes == VCB || in.Electrodes == VCBB || in.Electrodes == HCB {
		h, w, d := in.HeightMM, in.WidthMM, in.DepthMM
		if v < 0.6 && h < 508 && w < 508 && d > 0 && d <= 203.2 {
			b := tab(7, "shallow "+name)
			ees := (0.03937*h + 0.03937*w) / 2
			r.cf = 1 / (b[0]*pow(ees, 2) + b[1]*ees + b[2])
		} else {
			ka := map[string]float64{"VCB": 4, "VCBB": 10, "HCB": 10}[name]
			kb := map[string]float64{"VCB": 20, "VCBB": 24, "HCB": 22}[name]
			size := func(x float64) float64 {
				if x < 508 {
					return 20
				} else if x <= 660.4 {
					return 0.03937 * x
				} else if x <= 1244.6 {
					return (660.4 + (x-660.4)*((v+ka)/kb)) / 25.4
				}
				return (660.4 + (1244.6-660.4)*((v+ka)/kb)) / 25.4
			}
			h1, w1 := size(h), size(w)
			if name == "VCB" && h > 660.4 {
				h1 = 0.03937 * h
				if h > 1244.6 {
					h1 = 49
				}
			}
			b := tab(7, "typical "+name)
			ees := (h1 + w1) / 2
			r.cf = b[0]*pow(ees, 2) + b[1]*ees + b[2]
		}
	}

	// Equations 1 and 2.
	var ia [3]float64
	for n, volts := range tableVolts {
		k := tab(1, name+" "+volts)
		ia[n] = pow(10, k[0]+k[1]*lg(ibf)+k[2]*lg(g)) *
			(k[3]*pow(ibf, 6) + k[4]*pow(ibf, 5) + k[5]*pow(ibf, 4) + k[6]*pow(ibf, 3) + k[7]*pow(ibf, 2) + k[8]*ibf + k[9])
	}
	k := tab(2, name)
	varCf := k[0]*pow(v, 6) + k[1]*pow(v, 5) + k[2]*pow(v, 4) + k[3]*pow(v, 3) + k[4]*pow(v, 2) + k[5]*v + k[6]

	// Equations 3 to 10: energy at a distance, and boundary.
	energy := func(table int, ia, i, t float64) float64 {
		k := tab(table, name)
		x := k[2] * ia / (k[3]*pow(ibf, 7) + k[4]*pow(ibf, 6) + k[5]*pow(ibf, 5) + k[6]*pow(ibf, 4) + k[7]*pow(ibf, 3) + k[8]*pow(ibf, 2) + k[9]*ibf)
		return 12.552 / 50 * t * pow(10, k[0]+k[1]*lg(g)+x+k[10]*lg(ibf)+k[11]*lg(in.DistanceMM)+k[12]*lg(i)+lg(1/r.cf))
	}
	boundary := func(table int, ia, i, t float64) float64 {
		k := tab(table, name)
		x := k[2] * ia / (k[3]*pow(ibf, 7) + k[4]*pow(ibf, 6) + k[5]*pow(ibf, 5) + k[6]*pow(ibf, 4) + k[7]*pow(ibf, 3) + k[8]*pow(ibf, 2) + k[9]*ibf)
		return pow(10, (k[0]+k[1]*lg(g)+x+k[10]*lg(ibf)+k[12]*lg(i)+lg(1/r.cf)-lg(20/t))/-k[11])
	}

	if v <= 0.6 { // equation 25, 6 and 10
		r.i = 1 / math.Sqrt(pow(0.6/v, 2)*(1/pow(ia[0], 2)-(pow(0.6, 2)-pow(v, 2))/(pow(0.6, 2)*pow(ibf, 2))))
		r.iMin = r.i * (1 - 0.5*varCf)
		r.e, r.eMin = energy(3, ia[0], r.i, t), energy(3, ia[0], r.iMin, tMin)
		r.afb, r.afbMin = boundary(3, ia[0], r.i, t), boundary(3, ia[0], r.iMin, tMin)
		return r
	}
	between := func(x600, x2700, x14300 float64) float64 { // equations 16 to 24
		x1 := (x2700-x600)/2.1*(v-2.7) + x2700
		x2 := (x14300-x2700)/11.6*(v-14.3) + x14300
		if v > 2.7 {
			return x2
		}
		return x1*(2.7-v)/2.1 + x2*(v-0.6)/2.1
	}
	reduce := 1 - 0.5*varCf
	r.i = between(ia[0], ia[1], ia[2])
	r.iMin = reduce * r.i
	var e, eMin, afb, afbMin [3]float64
	for n := range ia {
		i, iMin := ia[n], ia[n]*reduce
		e[n], eMin[n] = energy(3+n, i, i, t), energy(3+n, iMin, iMin, tMin)
		afb[n], afbMin[n] = boundary(3+n, i, i, t), boundary(3+n, iMin, iMin, tMin)
	}
	r.e, r.eMin = between(e[0], e[1], e[2]), between(eMin[0], eMin[1], eMin[2])
	r.afb, r.afbMin = between(afb[0], afb[1], afb[2]), between(afbMin[0], afbMin[1], afbMin[2])
	return r
}

// grid calls f for cases that fill the model's range, every rule of the enclosure included.
func grid(f func(in Input, t, tMin float64)) {
	boxes := [][3]float64{{300, 320, 150}, {355.6, 304.8, 203.2}, {355.6, 304.8, 0}, {500, 505, 203.3}, {508, 400, 100},
		{600, 660.4, 500}, {700, 1000, 500}, {1244.6, 1244.6, 500}, {2000, 1300, 700}}
	n := 0.0
	for e := VCB; e <= HOA; e++ {
		for _, v := range []float64{208, 240, 480, 599, 600, 601, 1000, 2400, 2700, 2701, 4160, 7200, 13800, 14300, 15000} {
			lowI, highI := FaultRange(v)
			lowG, highG := GapRange(v)
			for _, i := range []float64{0, 0.1, 0.35, 0.6, 1} {
				for _, g := range []float64{0, 0.3, 1} {
					for _, box := range boxes {
						in := Input{v, lowI + float64((highI-lowI)*i), lowG + float64((highG-lowG)*g), 304.8 + float64(111*math.Mod(n, 13)), box[0], box[1], box[2], e}
						if in.WidthMM < 4*in.GapMM {
							in.WidthMM = 4 * in.GapMM
						}
						f(in, 20+float64(7*math.Mod(n, 31)), 25+float64(11*math.Mod(n, 29)))
						n++
						if !e.Enclosed() {
							break
						}
					}
				}
			}
		}
	}
}

func relative(a, b float64) float64 { return math.Abs(a-b) / math.Max(math.Abs(a), math.Abs(b)) }

func resultList(r *Result) []float64 {
	return []float64{r.ArcingKA, r.ArcingReducedKA, r.EnergyFull * Calorie, r.EnergyReduced * Calorie, r.BoundaryFull, r.BoundaryReduced, r.EnclosureFactor}
}

// plainTolerance is the relative difference allowed between the two implementations.
const plainTolerance = 1e-11

// TestPlain compares Evaluate with the plain implementation over the grid.
func TestPlain(t *testing.T) {
	p := readTables(t)
	tab := cached(t, p)
	cases := 0
	grid(func(in Input, ms, minMS float64) {
		res, err := Evaluate(&in, ms, minMS, nil)
		if err != nil {
			t.Fatalf("%+v: %v", in, err)
		}
		want := plain(tab, in, ms, minMS).list()
		for i, got := range resultList(&res) {
			if !(relative(got, want[i]) <= plainTolerance) {
				t.Errorf("%+v: result %d = %v, plainly %v", in, i, got, want[i])
			}
		}
		cases++
	})
	t.Logf("%d cases", cases)
}

func cached(t testing.TB, p plainTables) func(table int, name string) []float64 {
	type key struct {
		table int
		name  string
	}
	rows := map[key][]float64{}
	return func(table int, name string) []float64 {
		row := rows[key{table, name}]
		if row == nil {
			row = p.row(t, table, name)
			rows[key{table, name}] = row
		}
		return row
	}
}

// TestEveryDigitCounts changes each printed coefficient of the file by one unit of its last
// digit and checks that TestPlain would see it, by far more than its tolerance. A
// coefficient printed as 0 is changed by a digit like those of its neighbors: 1e-3 for the
// exponent k11, 1e-13 in a polynomial.
func TestEveryDigitCounts(t *testing.T) {
	p := readTables(t)
	byElectrodes := map[Electrodes][]Input{}
	grid(func(in Input, _, _ float64) {
		if in.FaultKA > 5 { // where every term has weight
			byElectrodes[in.Electrodes] = append(byElectrodes[in.Electrodes], in)
		}
	})
	changed := 0
	for table, rows := range p {
		for name, cells := range rows {
			for column, cell := range cells {
				var e Electrodes
				for _, word := range strings.Fields(name) {
					if found, ok := ParseElectrodes(word); ok {
						e = found
					}
				}
				seen := 0.0
				honest := cached(t, p)
				wrong := append([]float64(nil), p.row(t, table, name)...)
				wrong[column] += lastDigit(cell)
				if cell == "0" && table >= 3 && column == 10 { // k11
					wrong[column] = 1e-3
				}
				tab := func(n int, rowName string) []float64 {
					if n == table && rowName == name {
						return wrong
					}
					return honest(n, rowName)
				}
				for _, in := range byElectrodes[e] {
					got := plain(tab, in, 100, 200).list()
					res, err := Evaluate(&in, 100, 200, nil)
					if err != nil {
						t.Fatal(err)
					}
					for i, x := range resultList(&res) {
						seen = max(seen, relative(x, got[i]))
					}
					if seen > 100*plainTolerance {
						break
					}
				}
				if !(seen > 100*plainTolerance) {
					t.Errorf("Table %d %s, column %d: a change of the last digit of %s moves results by %.1e only",
						table, name, column, cell, seen)
				}
				changed++
			}
		}
	}
	if want := 5*7 + 15*10 + 15*13 + 6*3; changed != want {
		t.Errorf("changed %d coefficients, want %d", changed, want)
	}
}

// lastDigit returns one unit of the last digit of a printed number.
func lastDigit(cell string) float64 {
	if cell == "0" {
		return 1e-13
	}
	mantissa, exponent, _ := strings.Cut(cell, "e")
	_, frac, _ := strings.Cut(mantissa, ".")
	n, _ := strconv.Atoi(exponent)
	return math.Pow10(n - len(frac))
}
