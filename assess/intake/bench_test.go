package intake

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
)

// BenchmarkRead reads a study of 20,000 rows and 16 columns, and makes a
// locations.csv of it.
func BenchmarkRead(b *testing.B) {
	var text strings.Builder
	text.WriteString("Bus ID,Area,Description,Voltage (V),Bolted Fault (kA),Clearing Time (s),Incident Energy (cal/cm2)," +
		"Arc Flash Boundary (in),Working Distance (in),Fed From,Upstream Device,Study Date,Supply,Electrode Configuration,Gap (mm),Notes\n")
	for i := range 20000 {
		fmt.Fprintf(&text, "B-%05d,Area %d,Panel %d,480,%d.%d,0.05,%d.%d,40,18,B-%05d,B-%05d feeder,2026-03-14,3-phase,VCB,25,invented\n",
			i, i/100, i, 5+i%20, i%10, 2+i%20, i%10, i/8, i/8)
	}
	data := []byte(text.String())
	for b.Loop() {
		book, err := sheet.Read("study.csv", data, sheet.Options{})
		if err != nil {
			b.Fatal(err)
		}
		s, err := Read(book, "study.csv", &Answers{}, Context{})
		if err != nil || len(s.Rows) != 20000 || s.Questions != nil {
			b.Fatal(err, len(s.Rows), s.Questions)
		}
		if _, err := s.Locations(nil, "study.csv", false); err != nil {
			b.Fatal(err)
		}
	}
}
