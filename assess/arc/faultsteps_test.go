package arc

import (
	"math"
	"slices"
	"testing"
)

// Every point of the curve is met from both sides, and no step is wider than
// half a percent.
func TestFaultSteps(t *testing.T) {
	c, err := NewCurve([]Point{{1000, 1}, {3000, 1}, {3000, 0.1}, {9000, 0.1}}, true, true, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	half := func(kA float64) (Arcing, error) { return Arcing{FullKA: kA / 2, ReducedKA: kA / 4}, nil }
	steps := FaultSteps(4, 14, c, half)
	if steps[0] != 4 || steps[len(steps)-1] != 14 || !slices.IsSorted(steps) {
		t.Errorf("from %v to %v", steps[0], steps[len(steps)-1])
	}
	for i := range steps[1:] {
		if steps[i+1]/steps[i] > scanStep*(1+1e-12) {
			t.Errorf("a step from %v to %v", steps[i], steps[i+1])
		}
	}
	for _, share := range []float64{2, 4} {
		for _, mark := range []float64{3, 3 / 0.9, 3 / 1.1} {
			at := share * mark
			if at < 4 || at > 14 {
				continue
			}
			below, above := false, false
			for _, x := range steps {
				below = below || x <= at && at-x < 1e-9
				above = above || x >= at && x-at < 1e-9
			}
			if !below || !above {
				t.Errorf("%v kA is not met from both sides", at)
			}
		}
	}
	if got := FaultSteps(5, 5, nil, half); !slices.Equal(got, []float64{5}) {
		t.Errorf("one current: %v", got)
	}
	if n, want := len(FaultSteps(5, 10, nil, half)), math.Ceil(math.Log(2)/math.Log(scanStep))+1; float64(n) != want {
		t.Errorf("%d steps without a curve, want %v", n, want)
	}
}
