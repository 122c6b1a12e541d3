package arc

import (
	"math"
	"strings"
	"testing"
)

// TestEnclosureRules walks over every rule of IEEE 1584-2018 Table 6 and of the choice
// between the typical and the shallow box. Wanted sizes were worked out by hand from eq. 11
// and 12.
func TestEnclosureRules(t *testing.T) {
	tests := []struct {
		name    string
		e       Electrodes
		v       float64
		h, w, d float64
		shallow bool
		h1, w1  float64
		caution Cautions
	}{
		{"small, deep", VCB, 480, 400, 300, 300, false, 20, 20, 0},
		{"small, shallow", VCB, 480, 400, 300, 203.2, true, 15.748, 11.811, 0},
		{"just too deep", VCBB, 480, 400, 300, 203.3, false, 20, 20, 0},
		{"depth unknown", HCB, 480, 400, 300, 0, false, 20, 20, CautionDepth},
		{"at 600 V never shallow", VCB, 600, 400, 300, 150, false, 20, 20, 0},
		{"above 600 V never shallow", VCB, 4160, 400, 300, 150, false, 20, 20, 0},
		{"508 high is not shallow", VCB, 480, 508, 300, 150, false, 19.99996, 20, 0},
		{"508 wide is not shallow", VCB, 480, 300, 508, 150, false, 20, 19.99996, 0},
		{"just under 508", HCB, 480, 507.9, 507.9, 150, true, 19.996023, 19.996023, 0},
		{"508 to 660.4", VCBB, 480, 600, 660.4, 500, false, 23.622, 25.999948, 0},
		{"VCB's height stays, its width does not", VCB, 4160, 1143, 762, 500, false, 44.99991, 27.632, 0},
		{"VCB at 1244.6", VCB, 4160, 1244.6, 1244.6, 500, false, 48.999902, 35.384, 0},
		{"VCB above 1244.6", VCB, 4160, 1300, 1300, 500, false, 49, 35.384, CautionHeight | CautionWidth | CautionOpening},
		{"VCBB, both dimensions", VCBB, 480, 762, 1000, 500, false, 27.746667, 31.838268, 0},
		{"VCBB above 1244.6, high only", VCBB, 13800, 2000, 700, 500, false, 48.808333, 27.546063, CautionHeight},
		{"HCB, both dimensions", HCB, 480, 762, 1000, 500, false, 27.905455, 32.369019, 0},
		{"HCB above 1244.6, wide only", HCB, 13800, 700, 2000, 500, false, 27.686614, 50.881818, CautionWidth},
		{"opening too large by one dimension", HCB, 480, 3000, 700, 500, false, 36.956364, 26.742681, CautionHeight | CautionOpening},
		{"open air", VOA, 480, 3000, 3000, 500, false, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := sizeEnclosure(tt.e, tt.v, tt.h, tt.w, tt.d)
			if c.Shallow != tt.shallow || c.Cautions != tt.caution {
				t.Errorf("shallow %v, want %v; cautions %b, want %b", c.Shallow, tt.shallow, c.Cautions, tt.caution)
			}
			if math.Abs(c.HeightIn-tt.h1) > 1e-5 || math.Abs(c.WidthIn-tt.w1) > 1e-5 {
				t.Errorf("H1 = %.6f, W1 = %.6f, want %.6f, %.6f", c.HeightIn, c.WidthIn, tt.h1, tt.w1)
			}
			if c.SizeIn != (c.HeightIn+c.WidthIn)/2 {
				t.Errorf("EES = %v", c.SizeIn)
			}
		})
	}
}

// TestRuleWords checks that the words of a step name the line of Table 6 that gave its value.
func TestRuleWords(t *testing.T) {
	for e := VCB; e <= HCB; e++ {
		for _, x := range []float64{400, 508, 600, 660.4, 700, 1244.6, 1300} {
			for _, height := range []bool{true, false} {
				got, words := equivalentIn(e, 4.16, x, height), new(Recorder).rule(e, false, x, height)
				var want string
				switch {
				case got == 20:
					want = "20 in"
				case got == 49:
					want = "49 in"
				case math.Abs(got-0.03937*x) < 1e-9:
					want = "0.03937"
				default:
					want = "660.4 + "
				}
				if !strings.Contains(words, want) {
					t.Errorf("%v, %v mm: %v in, words %q", e, x, got, words)
				}
			}
		}
	}
}

// TestUnknownDepth checks that an unknown depth gives the energy of the deep box, which is
// the higher one: at 480 V by 13 to 33 % of it for the typical panelboard.
func TestUnknownDepth(t *testing.T) {
	for e := VCB; e <= HCB; e++ {
		in := Input{VoltageV: 480, FaultKA: 22, GapMM: 25, DistanceMM: 457.2,
			HeightMM: 355.6, WidthMM: 304.8, Electrodes: e}
		unknown := mustEvaluate(t, &in, 100, 120)
		in.DepthMM = 300
		deep := mustEvaluate(t, &in, 100, 120)
		in.DepthMM = 203.2
		shallow := mustEvaluate(t, &in, 100, 120)
		if unknown.Energy != deep.Energy || unknown.Cautions != CautionDepth || deep.Cautions != 0 {
			t.Errorf("%v: unknown depth %+v, deep %+v", e, unknown, deep)
		}
		less := 1 - shallow.Energy/deep.Energy
		t.Logf("%v: the shallow box gives %.1f %% less", e, 100*less)
		if less < 0.12 || less > 0.34 {
			t.Errorf("%v: the shallow box gives %.1f %% less, want 13 to 33", e, 100*less)
		}
	}
}

// TestTinyShallowBox: for a very small box eq. 15 has no factor above zero for VCBB; the
// case is refused.
func TestTinyShallowBox(t *testing.T) {
	in := Input{VoltageV: 480, FaultKA: 22, GapMM: 10, DistanceMM: 457.2,
		HeightMM: 50, WidthMM: 50, DepthMM: 100, Electrodes: VCBB}
	if _, err := Evaluate(&in, 100, 100, nil); err == nil ||
		!strings.Contains(err.Error(), "enclosure correction factor has no value here") {
		t.Errorf("tiny box: %v", err)
	}
}

// TestCautionTexts checks that each caution has words, and an empty set none.
func TestCautionTexts(t *testing.T) {
	for c := CautionHeight; c <= CautionDC; c <<= 1 {
		if texts := c.List(); len(texts) != 1 || texts[0] == "" {
			t.Errorf("caution %b: %q", c, texts)
		}
	}
	if got := (CautionHeight | CautionWidth).List(); len(got) != 2 || !strings.Contains(got[0], "height") {
		t.Errorf("%q", got)
	}
	if Cautions(0).List() != nil || CautionDC>>(len(cautionTexts)-1) != 1 {
		t.Error("texts and cautions differ in number")
	}
}

// TestTypical checks the typical geometry and that it computes, and that for 5 kV switchgear
// the box held is the one with the higher energy of the standard's two.
func TestTypical(t *testing.T) {
	for _, tt := range []struct {
		class Class
		v     float64
		name  string
	}{
		{ClassSwitchgear, 208, "low-voltage switchgear"},
		{ClassSwitchgear, 600, "low-voltage switchgear"},
		{ClassMCC, 480, "low-voltage MCC or panelboard"},
		{ClassJunctionBox, 480, "cable junction box"},
		{ClassSwitchgear, 4160, "5 kV switchgear"},
		{ClassSwitchgear, 5000, "5 kV switchgear"},
		{ClassMCC, 2400, "5 kV MCC"},
		{ClassSwitchgear, 13800, "15 kV switchgear"},
		{ClassMCC, 15000, "15 kV MCC"},
		{ClassJunctionBox, 4160, ""},
		{ClassSwitchgear, 207, ""},
		{ClassSwitchgear, 690, ""},
		{ClassSwitchgear, 1000, ""},
		{ClassSwitchgear, 15001, ""},
		{ClassSwitchgear, math.NaN(), ""},
		{0, 480, ""},
	} {
		g, err := TypicalFor(tt.class, tt.v)
		if g.Name != tt.name || (err == nil) != (tt.name != "") {
			t.Errorf("TypicalFor(%v, %v) = %+v, %v, want %q", tt.class, tt.v, g, err, tt.name)
		}
		if err != nil {
			continue
		}
		for e := VCB; e <= HOA; e++ {
			in := Input{tt.v, 20, g.GapMM, g.DistanceMM, g.HeightMM, g.WidthMM, 0, e}
			mustEvaluate(t, &in, 100, 120)
		}
	}
	for e := VCB; e <= HCB; e++ {
		for _, v := range []float64{2400, 4160, 5000} {
			g, err := TypicalFor(ClassSwitchgear, v)
			if err != nil {
				t.Fatal(err)
			}
			other := sizeEnclosure(e, v, 1143, 762, 762)
			if c := sizeEnclosure(e, v, g.HeightMM, g.WidthMM, 0); c.Factor > other.Factor {
				t.Errorf("%v, %v V: CF %v of the cube, %v of the other box", e, v, c.Factor, other.Factor)
			}
		}
	}
}

func sizeEnclosure(e Electrodes, voltageV, heightMM, widthMM, depthMM float64) (c Enclosure) {
	c.size(e, voltageV, heightMM, widthMM, depthMM)
	return c
}
