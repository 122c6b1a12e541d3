package basis

import (
	"cmp"
	"fmt"
	"regexp"

	"vouchmark/label"
	"vouchmark/label/record"
)

// fact is one piece of the facts in a link: a date, an energy with its bound,
// or what is between two hyphens.
var fact = regexp.MustCompile(`\d{4}-\d\d-\d\d|(?:ABOVE|BELOW)-[\d.]+CAL|[^-]+`)

// differences compares the facts of a scanned link with the record and says
// what differs: the sign of an altered or forged label. It says nothing where
// they are equal, or where only a code was given.
func differences(scanned label.Scanned, r *record.Record) []string {
	truth := label.Facts(r)
	if scanned.Facts == "" || scanned.Facts == truth {
		return nil
	}
	on, in := fact.FindAllString(scanned.Facts, -1), fact.FindAllString(truth, -1)
	names := factNames(in)
	for len(on) > 0 && len(in) > 0 && on[0] == in[0] {
		on, in, names = on[1:], in[1:], names[1:]
	}
	for len(on) > 0 && len(in) > 0 && on[len(on)-1] == in[len(in)-1] {
		on, in = on[:len(on)-1], in[:len(in)-1]
	}
	if len(on) != len(in) {
		return []string{says("QR code", scanned.Facts, truth)}
	}
	var diff []string
	for i := range on {
		if on[i] != in[i] {
			diff = append(diff, says(names[i], on[i], in[i]))
		}
	}
	if diff == nil { // the pieces are the same, the hyphens are not
		diff = []string{says("QR code", scanned.Facts, truth)}
	}
	return diff
}

func says(name, onLabel, inRecord string) string {
	return fmt.Sprintf("%s: label %s, record %s", name, onLabel, inRecord)
}

// factNames names the pieces of the facts of a record, in the order in which
// [label.Facts] puts them: id, study, TO, REVIEW BY, voltage, energy, working
// distance, boundary, kit. Long facts lack the study or the distance.
func factNames(in []string) []string {
	names := make([]string, len(in))
	to := -1
	for i := len(in) - 2; i >= 0; i-- { // the first one counts: the name of a kit may hold anything
		if in[i] == "TO" && date.MatchString(in[i+1]) {
			to = i
		}
	}
	for i := range names {
		switch {
		case i < to && date.MatchString(in[i]):
			names[i] = "Study"
		case i < to:
			names[i] = "Location"
		case i == to+1:
			names[i] = "Review by"
		case i == to+2:
			names[i] = "Voltage"
		case i == to+3:
			names[i] = "Incident energy"
		case length.MatchString(in[i]) && i+1 < len(in) && length.MatchString(in[i+1]):
			names[i] = "Working distance"
		case length.MatchString(in[i]) && i <= to+5:
			names[i] = "Boundary"
		}
		names[i] = cmp.Or(names[i], "Kit")
	}
	return names
}

var (
	date   = regexp.MustCompile(`^\d{4}-\d\d-\d\d$`)
	length = regexp.MustCompile(`^\d+IN$`)
)
