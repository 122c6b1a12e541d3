package plant

import (
	"maps"
	"slices"
	"strings"
)

// Known are the ids of all locations, and of those that only a printed label has.
func (p *Plant) Known() []string {
	ids := p.Site.IDs()
	if p.History == nil {
		return ids
	}
	listed := p.Site.Index()
	for _, id := range slices.Sorted(maps.Keys(p.History.Labels)) {
		if _, ok := listed[id]; !ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// IDs returns the ids that a person gives, repeated or separated by commas. An id
// that contains a comma is not split.
func (p *Plant) IDs(words []string) []string {
	known := p.Site.Index()
	return parts(words, func(w string) bool { _, whole := known[w]; return whole })
}

// Areas returns the areas that a person gives, likewise, in any letter case.
func (p *Plant) Areas(words []string) []string {
	return parts(words, func(w string) bool {
		return slices.ContainsFunc(p.Places, func(place Place) bool {
			return strings.EqualFold(place.Assessment.Location.Area, w)
		})
	})
}

// parts splits words at commas, except known whole ones.
func parts(words []string, whole func(string) bool) (all []string) {
	for _, w := range words {
		if w != "" && whole(w) {
			all = append(all, w)
			continue
		}
		for part := range strings.SplitSeq(w, ",") {
			if part = strings.TrimSpace(part); part != "" {
				all = append(all, part)
			}
		}
	}
	return all
}
