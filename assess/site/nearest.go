package site

import "github.com/agnivade/levenshtein"

// nearest is the known name that is spelt most like s.
func nearest(s string, known []string) string {
	best, least := "", 0
	for _, k := range known {
		if d := levenshtein.ComputeDistance(s, k); best == "" || d < least {
			best, least = k, d
		}
	}
	return best
}
