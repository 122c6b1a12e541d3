package basis

import (
	"fmt"
	"regexp"

	"vouchmark/label"
	"vouchmark/label/record"
)

// fact is one piece of the facts in a link: a date, an energy with its bound,
// or what stands between two hyphens.
var fact = regexp.MustCompile(`\d{4}-\d\d-\d\d|(?:ABOVE|BELOW)-[\d.]+CAL|[^-]+`)

// differences holds the facts of a scanned link against the record and says
// what differs: an altered or forged label. Nothing is said of equal facts, or
// where only a code was given.
func differences(scanned label.Scanned, r *record.Record) []string {
	truth := label.Facts(r)
	if scanned.Facts == "" || scanned.Facts == truth {
		return nil
	}
	on, in := fact.FindAllString(scanned.Facts, -1), fact.FindAllString(truth, -1)
	for len(on) > 0 && len(in) > 0 && on[0] == in[0] {
		on, in = on[1:], in[1:]
	}
	for len(on) > 0 && len(in) > 0 && on[len(on)-1] == in[len(in)-1] {
		on, in = on[:len(on)-1], in[:len(in)-1]
	}
	if len(on) != len(in) {
		return []string{fmt.Sprintf("the label says %s, the record says %s", scanned.Facts, truth)}
	}
	var diff []string
	for i := range on {
		if on[i] != in[i] {
			diff = append(diff, says(on[i], in[i]))
		}
	}
	if diff == nil { // the pieces are the same, the hyphens are not
		diff = []string{says(scanned.Facts, truth)}
	}
	return diff
}

func says(onLabel, inRecord string) string {
	return fmt.Sprintf("the label says %s, the record says %s", onLabel, inRecord)
}
