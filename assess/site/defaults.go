package site

import (
	"cmp"

	"vouchmark/assess"
)

// defaultable lists the columns that site.toml may fill in if the file has no such column, or an
// empty cell: what is usually the same throughout a study. No number of a study is among them.
var defaultable = []string{"area", "supply", "conductor", "study", "revision", "edition", "surveyed", "prepared",
	"engineer", "note"}

// readDefaults reads [defaults].
func readDefaults(n *node) map[string]any {
	t := n.sub("defaults", ask(n, "defaults", false, nil, "a table [defaults]", as[map[string]any]))
	defaults := map[string]any{}
	for _, name := range defaultable {
		if !t.given(name) {
			continue
		}
		c := assess.ColumnNamed(name)
		switch c.Kind {
		case assess.Day:
			if d := t.date(name, true); !d.IsZero() {
				defaults[name] = d
			}
		case assess.Choice:
			if s := t.word(name, true, "", c.Choices...); s != "" {
				defaults[name] = s
			}
		default:
			if s := t.textOf(kind{longest: cmp.Or(c.Longest, kindText.longest), prose: c.Prose}, name, true, ""); s != "" {
				defaults[name] = s
			}
		}
	}
	t.done()
	return defaults
}
