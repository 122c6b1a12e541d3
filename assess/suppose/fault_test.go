package suppose

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"vouchmark/assess"
)

func closeTo(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// A handbook's transformer: 1000 kVA, 480 V, 5.75 % lets 20 919 A through from
// an infinite primary (kVA x 1000 / (1.732 V) x 100 / %Z, with 1.732 as in
// the handbook).
func TestNameplate(t *testing.T) {
	tr := assess.Transformer{KVA: 1000, ImpedancePercent: 5.75, Secondary: 480}
	closeTo(t, "fault current", 480/(math.Sqrt(3)*tr.Milliohm()), 20.919, 20.919*(math.Sqrt(3)/1.732-1)+0.0005)
}

// A handbook's point-to-point example: 300 kVA, 2 % less 10 %, 208 V gives
// 46 273 A; 20 ft of 2 x 500 kcmil, C = 22 185, gives f = 0.174 and M = 0.852.
// That method adds magnitudes, so it is the far end of the interval: with
// twice the source f is 0.347 and M = 1 / (1 + f).
func TestPointToPoint(t *testing.T) {
	const source = 46.273
	feeder := 20.0 / (22185 * 2) * 1000 // mΩ: f = 1.732 L I / (C n V)
	z := milliohm(208, source)
	f := feeder / z
	closeTo(t, "f", f, 0.174, 0.0005)
	closeTo(t, "M", 1/(1+f), 0.852, 0.0005)
	closeTo(t, "nameplate", milliohm(208, source), (&assess.Transformer{KVA: 300, ImpedancePercent: 2 * 0.9, Secondary: 208}).Milliohm(), 0.001)
	for _, ratio := range []float64{2, 1.2, 0.7} { // of the source's fault current
		least, largest := series(z+feeder, z, 1/ratio, math.Inf(1))
		far := 1 / least
		if ratio < 1 {
			far = 1 / largest
		}
		closeTo(t, "far end", far*source/(1+f), ratio*source/(1+ratio*f), 1e-9)
	}
}

// quadrant is an impedance with R >= 0 and X >= 0.
func quadrant(r *rand.Rand) complex128 {
	angle := r.Float64() * math.Pi / 2
	switch r.IntN(10) {
	case 0:
		angle = 0
	case 1:
		angle = math.Pi / 2
	}
	return cmplx.Rect(math.Exp(6*r.Float64()-3), angle)
}

// By brute force: whatever the impedances, the true new one lies in the
// interval, with a known rest as without, and the interval narrows.
func TestSeriesHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	narrower := 0
	for range 200000 {
		a := quadrant(r)
		var b complex128
		var sum float64
		for range 1 + r.IntN(3) {
			z := quadrant(r)
			b += z
			sum += cmplx.Abs(z)
		}
		k := math.Exp(5*r.Float64() - 2.5)
		whole, truth := cmplx.Abs(a+b), cmplx.Abs(complex(k, 0)*a+b)
		least, largest := series(whole, cmplx.Abs(a), k, math.Inf(1))
		l2, h2 := series(whole, cmplx.Abs(a), k, sum)
		const e = 1e-9
		if truth < least*whole*(1-e) || truth > largest*whole*(1+e) {
			t.Fatalf("a %v, b %v, k %v: %v is not in [%v, %v]", a, b, k, truth, least*whole, largest*whole)
		}
		if truth < l2*whole*(1-e) || truth > h2*whole*(1+e) {
			t.Fatalf("a %v, b %v of %v at most, k %v: %v is not in [%v, %v]", a, b, sum, k, truth, l2*whole, h2*whole)
		}
		if l2 < least*(1-e) || h2 > largest*(1+e) {
			t.Fatalf("a %v, b %v, k %v: a known rest widens the interval", a, b, k)
		}
		if h2-l2 < 0.9*(largest-least) {
			narrower++
		}
		// What strengthens never weakens: without a curve that is the row's word.
		if k <= 1 && largest > 1+e || k >= 1 && least < 1-e {
			t.Fatalf("k %v: [%v, %v] is on the wrong side", k, least, largest)
		}
	}
	if narrower < 1000 {
		t.Errorf("a known rest narrowed only %d", narrower)
	}
}

// Both ends are reached: the bound is no wider than it must be.
func TestSeriesIsTight(t *testing.T) {
	for _, k := range []float64{0.3, 3} {
		for _, angle := range []float64{0, math.Pi / 2} {
			a, b := complex(2, 0), cmplx.Rect(3, angle)
			whole, truth := cmplx.Abs(a+b), cmplx.Abs(complex(k, 0)*a+b)
			least, largest := series(whole, 2, k, math.Inf(1))
			if math.Abs(truth-least*whole) > 1e-12 && math.Abs(truth-largest*whole) > 1e-12 {
				t.Errorf("k %v, angle %v: %v is not an end of [%v, %v]", k, angle, truth, least*whole, largest*whole)
			}
		}
	}
}

// seen is the resistance between place i and the sources (ground), of a
// network of conductances, by Gaussian elimination.
func seen(g [][]float64, i int) float64 {
	n := len(g)
	m := make([][]float64, n)
	for r := range m {
		m[r] = append(append([]float64{}, g[r]...), 0)
	}
	m[i][n] = 1
	for c := range n {
		for r := c + 1; r < n; r++ {
			f := m[r][c] / m[c][c]
			for k := c; k <= n; k++ {
				m[r][k] -= float64(f * m[c][k])
			}
		}
	}
	x := make([]float64, n)
	for r := n - 1; r >= 0; r-- {
		x[r] = m[r][n]
		for k := r + 1; k < n; k++ {
			x[r] -= float64(m[r][k] * x[k])
		}
		x[r] /= m[r][r]
	}
	return x[i]
}

// By brute force, in random meshed networks of one X/R: when one branch
// changes by a factor, or one source so that the fault current at a place does,
// no fault current changes by more than that factor, nor to the other side.
func TestCoarseHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		const n = 5
		g := make([][]float64, n)
		for i := range g {
			g[i] = make([]float64, n)
		}
		join := func(i, j int, c float64) { // j < 0: a source
			g[i][i] += c
			if j >= 0 {
				g[j][j] += c
				g[i][j] -= c
				g[j][i] -= c
			}
		}
		for i := range n {
			for j := -1; j < i; j++ {
				if j == i-1 || r.IntN(3) == 0 {
					join(i, j, math.Exp(4*r.Float64()-2))
				}
			}
		}
		i, j := r.IntN(n), r.IntN(n+1)-1
		if i == j {
			j = -1
		}
		c := math.Exp(4*r.Float64() - 2)
		join(i, j, c)
		var before, after [n]float64
		for l := range n {
			before[l] = 1 / seen(g, l)
		}
		factor := math.Exp(4*r.Float64() - 2)
		join(i, j, c*(factor-1))
		for l := range n {
			after[l] = 1 / seen(g, l)
		}
		ratio := factor // of a branch
		if j < 0 {
			ratio = after[i] / before[i] // of the fault current at the source's place
		}
		least, most := coarse(ratio)
		for l := range n {
			if x := after[l] / before[l]; x < least*(1-1e-9) || x > most*(1+1e-9) {
				t.Fatalf("branch %d to %d times %v: place %d changes by %v, not in [%v, %v]", i, j, factor, l, x, least, most)
			}
		}
	}
}
