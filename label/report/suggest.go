package report

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
)

// Suggestion is a setting of site.toml that would help several locations at once. It is
// computed, and given only where it would.
type Suggestion struct {
	Key       string `json:"key"` // in site.toml
	Locations int    `json:"locations"`
	Text      string `json:"text"`
}

// suggestions are the settings that would help a plant.
func suggestions(v *plant.Plant) []Suggestion {
	return slices.Concat(suggestTypical(v), suggestDefaults(v), suggestSources(v))
}

// suggestTypical tries typical = true: with the typical geometry of its class, is something
// recomputed that was not?
func suggestTypical(v *plant.Plant) []Suggestion {
	if v.Site.Policy.Typical {
		return nil
	}
	var ids []string
	for i := range v.Places {
		if p := &v.Places[i]; !p.Assessment.Location.Unlabeled && typicalHelps(p.Assessment) {
			ids = append(ids, p.ID())
		}
	}
	if ids == nil {
		return nil
	}
	return []Suggestion{{"typical", len(ids), fmt.Sprintf("typical = true in site.toml takes a missing gap, enclosure or working "+
		"distance from the class: %s could be recomputed (%s), each with a caution",
		Plural(len(ids), "more location"), fewer(ids))}}
}

func typicalHelps(a *assess.Assessment) bool {
	l := *a.Location
	l.Cases = slices.Clone(l.Cases)
	for i := range l.Cases {
		l.Cases[i].Assumed = slices.Clone(l.Cases[i].Assumed)
	}
	assess.AssumeTypical(&l)
	if len(l.Assumed()) == 0 || len(l.Unreadable) > 0 && (len(l.Unreadable) > 1 || l.Distance == a.Location.Distance) {
		return false
	}
	in := a.Inputs
	in.Location = &l
	for i := range l.Cases {
		was, now := a.Location.Cases[i], &l.Cases[i]
		if len(now.Assumed) == len(was.Assumed) && l.Distance == a.Location.Distance {
			continue
		}
		before, _, _ := assess.Compute(&a.Inputs, &was)
		if after, _, _ := assess.Compute(&in, now); after != nil && (before == nil || len(l.Unreadable) > 0) {
			return true
		}
	}
	return false
}

// suggestDefaults looks for a column that every label needs, whose cell is empty in several
// rows and has one and the same value in all others.
func suggestDefaults(v *plant.Plant) (all []Suggestion) {
	for _, name := range []string{"supply", "prepared"} {
		column := assess.ColumnNamed(name)
		var empty []string
		values := map[string]bool{}
		for i := range v.Places {
			l := v.Places[i].Assessment.Location
			for k := range l.Cases {
				row := l.Row(k)
				switch text := column.Text(row); {
				case text != "":
					values[text] = true
				case emptyCell(l, row.Line):
					if n := len(empty); n == 0 || empty[n-1] != l.ID {
						empty = append(empty, l.ID)
					}
				}
			}
		}
		if len(empty) < 2 || len(values) != 1 {
			continue
		}
		for value := range values {
			if column.Kind == assess.Choice {
				value = `"` + value + `"`
			}
			all = append(all, Suggestion{"defaults", len(empty), fmt.Sprintf("%s = %s under [defaults] in site.toml fills the empty "+
				"cell of %s (%s), if that is true of them too: all other rows say so", name, value,
				Plural(len(empty), "location"), fewer(empty))})
		}
	}
	return all
}

// emptyCell reports whether a cell that every label needs is empty in a row.
func emptyCell(l *assess.Location, line int) bool {
	return slices.ContainsFunc(l.Unreadable, func(f assess.Finding) bool {
		return f.Line == line && strings.HasPrefix(f.Message, "found an empty cell")
	})
}

// suggestSources looks for locations that feed others, and that nothing feeds: they may be
// where the supply comes in.
func suggestSources(v *plant.Plant) []Suggestion {
	feeds := map[string]bool{}
	for i := range v.Site.Locations {
		for _, id := range v.Site.Locations[i].FedFrom() {
			feeds[id] = true
		}
	}
	var ids, listed []string
	for i := range v.Places {
		p := &v.Places[i]
		lacks := slices.ContainsFunc(p.Assessment.Findings, func(f assess.Finding) bool { return f.Code == assess.NoFeeds })
		if lacks && feeds[p.ID()] {
			ids = append(ids, p.ID())
			listed = append(listed, fmt.Sprintf("%q", p.ID()))
		}
	}
	if ids == nil {
		return nil
	}
	const most = 4
	if len(listed) > most {
		listed = append(listed[:most], "…")
	}
	return []Suggestion{{"sources", len(ids), fmt.Sprintf("sources = [%s] in site.toml, if they are fed from outside: "+
		"%s without fed_from, but feeding others", strings.Join(listed, ", "), Plural(len(ids), "location"))}}
}

// fewer names the first two ids.
func fewer(ids []string) string {
	const most = 2
	if len(ids) <= most {
		return strings.Join(ids, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
}
