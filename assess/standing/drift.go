package standing

import (
	"cmp"
	"slices"
	"strings"
)

// Difference is one fact of a label's record that has changed.
type Difference struct {
	Field string `json:"field"`
	Old   string `json:"old"`
	New   string `json:"new"`
}

// follows begins the name of a quantity that follows from the rows.
const follows = "governing "

// Follows reports whether it is a quantity that follows from the rows, not a column.
func (d Difference) Follows() bool { return strings.HasPrefix(d.Field, follows) }

// Column is the column or the quantity that differs, without its case.
func (d Difference) Column() string {
	name, _, _ := strings.Cut(d.Field, " of ")
	return strings.TrimPrefix(name, follows)
}

// OfStudy reports whether it is the name or date of a study, not one of its results.
func (d Difference) OfStudy() bool {
	return slices.Contains([]string{"study", "revision", "surveyed", "prepared", "review_by"}, d.Column())
}

// Drift is how the site folder now differs from the record of a label.
type Drift struct {
	Data   []Difference // of the row, in substance
	Policy []Difference // of what follows from the policy
	// Worse is what a label printed now would warn of and the printed one does not;
	// "" for nothing.
	Worse string
}

// words lists the differences, the first few in full.
func words(list []Difference) string {
	const few = 3
	var parts []string
	for i, d := range list {
		if i == few {
			parts = append(parts, "…")
			break
		}
		parts = append(parts, d.Field+" "+cmp.Or(d.Old, "(empty)")+" → "+cmp.Or(d.New, "(empty)"))
	}
	return strings.Join(parts, ", ")
}
