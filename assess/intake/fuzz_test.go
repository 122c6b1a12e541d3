package intake

import (
	"errors"
	"testing"
	"testing/fstest"

	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/testdata/suite"
)

const studyPolicy = "name = \"Invented\"\nunits = \"us\"\nedition = \"NFPA 70E-2024\"\ncutoff_cal_cm2 = 40.0\nreview_months = 60\n" +
	"[[ladder]]\nkit = \"Kit A\"\nrating_cal_cm2 = 40.0\nwear = [\"suit\"]\n"

// FuzzStudy: whatever a study's file has, it is refused, or asks, or makes a locations.csv that the
// reader of a site reads, and of which it says nothing worse than that a cell cannot be read.
func FuzzStudy(f *testing.F) {
	f.Add("Bus ID,Description,Nominal Voltage,Bolted Fault kA,Trip Time (s),Incident Energy (cal/cm2),AFB (ft-in),Working Dist.\n,,kV,,,,,in\n"+
		"SWB-1,Main,0.48,22.1,0.05,> 40,\"12'-7\"\"\",24\nPNL-3,Panel,480Y/277 V,14.6,0.05,2.9,2-9,18\nTotal,,,36.7,,,,\n", "")
	f.Add("id;equipment;voltage_v;energy_cal_cm2;boundary_in;distance_in\nA;Panel;480;2,5;30;18\nB;Panel;208;1.2;18;18\n", "fed from=fed_from")
	f.Add("Name\tSupply\tkA\n\"a\nb\"\tT-1\tN/A\n", "Name=id")
	f.Add("\n\n1,2,3\n", "x=y")
	f.Fuzz(func(t *testing.T, text, answer string) {
		if len(text)+len(answer) > suite.Longest/8 {
			return
		}
		a := Answers{Give: []Given{{"supply", "ac3"}, {"prepared", "2026-03-14"}, {"equipment", "Panel"}}}
		if one, err := ParseAnswer(answer); err == nil {
			a.Columns = append(a.Columns, one)
		}
		suite.Bounded(t, len(text)+len(answer), 4096, 1<<21, func() {
			book, err := sheet.Read("study.csv", []byte(text), sheet.Options{})
			if err != nil {
				return
			}
			s, err := Read(book, "study.csv", &a, Context{})
			if err != nil || s.Questions != nil || s.Missing != nil {
				return
			}
			l, err := s.Locations(nil, "study.csv", false)
			if err != nil {
				return
			}
			if _, err = s.AppendLayout(nil); err != nil {
				t.Errorf("its layout: %v", err)
			}
			folder := fstest.MapFS{"site.toml": {Data: []byte(studyPolicy)}, "locations.csv": {Data: l.CSV}}
			if _, err = site.Read(folder, site.Options{}); err != nil {
				var ps site.Problems
				if !errors.As(err, &ps) || len(ps) == 0 || len(ps) > 2002 {
					t.Errorf("%v", err)
				}
			}
		})
	})
}

// FuzzLayouts: what is read of an intake.toml is written again as it was read.
func FuzzLayouts(f *testing.F) {
	f.Add("[[layout]]\nfile = \"R.csv\"\nheadings = [\"Bus\", \"kA\"]\ndate_form = \"m/d/y\"\n[layout.columns]\nid = \"Bus\"\nfault_ka = \"kA\"\n[layout.give]\nsupply = \"ac3\"\n")
	f.Add("layout = 1")
	f.Add("[[layout]]\nheadings = [1]\n[layout.modes]\nx = \"y\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > suite.Longest {
			return
		}
		suite.Bounded(t, len(text), 2048, 1<<18, func() {
			if _, err := ParseLayouts([]byte(text)); err != nil {
				var ps site.Problems
				if !errors.As(err, &ps) || len(ps) == 0 {
					t.Errorf("%v", err)
				}
			}
		})
	})
}
