package intake

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// The oracle of the random layouts finds each of these: a study that was read right is
// altered as a mistake of the reader would alter it.
func TestOracleFindsMistakes(t *testing.T) {
	mistakes := map[string]func(s *Study) bool{
		"a number of another row": func(s *Study) bool {
			return swap(s, 0, "energy", 1, "energy")
		},
		"a number of another column": func(s *Study) bool {
			return swap(s, 0, "boundary", 0, "distance")
		},
		"another unit": func(s *Study) bool {
			return each(s, "voltage", func(m *Meaning) bool {
				other := map[string]string{"v": "kv", "kv": "v"}[m.Unit.Suffix]
				m.Unit.Suffix = other
				return !m.Unit.Own && other != ""
			})
		},
		"centimeters as millimeters": func(s *Study) bool {
			return each(s, "distance", func(m *Meaning) bool {
				if m.Unit.Of != 10 {
					return false
				}
				for i := range s.Rows {
					var number string
					if _, err := fmt.Sscan(s.Rows[i].Cells["distance"], &number); err == nil {
						s.Rows[i].Cells["distance"] = number
					}
				}
				return true
			})
		},
		"a lost row": func(s *Study) bool {
			s.Rows = s.Rows[1:]
			return true
		},
		"a row without a location": func(s *Study) bool {
			s.Rows = append(s.Rows, Row{Number: 9999, Cells: map[string]string{"id": "Total"}})
			return true
		},
		"a lost number": func(s *Study) bool {
			had := s.Rows[0].Cells["energy"] != ""
			delete(s.Rows[0].Cells, "energy")
			return had
		},
		"a lost bound": func(s *Study) bool {
			for i := range s.Rows {
				if c := s.Rows[i].Cells["energy"]; c != "" && c[0] == '>' {
					s.Rows[i].Cells["energy"] = c[1:]
					return true
				}
			}
			return false
		},
		"a heading without a meaning": func(s *Study) bool {
			for i := range s.Columns {
				if c := &s.Columns[i]; len(c.Means) == 0 && c.Filled > 0 {
					ka := Unit{NamedUnit: site.NamedUnit{Word: "kA", Suffix: "ka", Of: 1}}
					c.Means = []Meaning{{Column: assess.ColumnNamed("fault"), Unit: ka, Certainty: Sure}}
					return true
				}
			}
			return false
		},
		"another day": func(s *Study) bool {
			if s.meaning("prepared") == nil {
				return false
			}
			s.Rows[0].Cells["prepared"] = "2026-12-31"
			return true
		},
		"another id": func(s *Study) bool {
			s.Rows[0].Cells["id"] += "0"
			return true
		},
	}
	for _, name := range slices.Sorted(maps.Keys(mistakes)) {
		made := 0
		for seed := uint64(0); seed < 400 && made < 10; seed++ {
			l := newLayout(seed)
			if !l.plain {
				continue
			}
			book, _, rowOf, err := l.write()
			if err != nil {
				continue
			}
			read := func() *Study {
				s, err := Read(book, "study.csv", &Answers{Give: l.give}, Context{Hertz: l.hertz})
				if err != nil {
					t.Fatal(err)
				}
				return s
			}
			var before, after outcome
			s := read()
			if l.judge(s, rowOf, &before); !before.taken || len(before.wrong) > 0 || len(s.Rows) < 3 {
				continue
			}
			if !mistakes[name](s) {
				continue
			}
			made++
			if l.judge(s, rowOf, &after); len(after.wrong) == 0 {
				t.Errorf("%s: seed %d: nothing was found", name, seed)
			}
		}
		if made == 0 {
			t.Errorf("%s: no layout to make it in", name)
		}
	}
}

// swap swaps two cells that differ.
func swap(s *Study, row int, name string, other int, otherName string) bool {
	a, b := s.Rows[row].Cells, s.Rows[other].Cells
	if a[name] == "" || b[otherName] == "" || a[name] == b[otherName] {
		return false
	}
	a[name], b[otherName] = b[otherName], a[name]
	return true
}

// each alters the meanings of a name.
func each(s *Study, name string, alter func(*Meaning) bool) bool {
	for i := range s.Columns {
		for k := range s.Columns[i].Means {
			if m := &s.Columns[i].Means[k]; m.Name == name {
				return alter(m)
			}
		}
	}
	return false
}
