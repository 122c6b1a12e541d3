package site

import (
	"cmp"
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/near"
)

// ParseFinding reads the code of a finding.
func ParseFinding(word string) (assess.Code, error) {
	if c := assess.Code(word); c.Info() != nil {
		return c, nil
	}
	var known []string
	for _, c := range assess.Codes {
		known = append(known, string(c.Code))
	}
	return "", fmt.Errorf("%s is not the code of a finding%s", quote(word),
		cmp.Or(near.Hint(word, known), "; vouchmark check shows the code of each finding"))
}
