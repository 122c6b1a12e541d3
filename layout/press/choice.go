package press

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/near"
	"vouchmark/label/plant"
)

// Choice says which labels of a site are printed: those that meet all of its
// parts. The empty one means all labels.
type Choice struct {
	IDs     []string // only these locations; empty for all
	Areas   []string // only these areas, in any letter case; empty for all
	Changed bool     // only what is due: what differs from the last print
}

// UnknownAreaError names areas that the site does not have, and lists those
// that it has.
type UnknownAreaError struct{ Areas, There []string }

func (e *UnknownAreaError) Error() string {
	there := "locations.csv has no areas"
	if len(e.There) > 0 {
		there = "the areas are: " + strings.Join(e.There, "; ")
	}
	hint := ""
	if len(e.Areas) == 1 {
		hint = near.Hint(e.Areas[0], e.There)
	}
	if hint == "" {
		hint = "; "
	} else {
		hint, there = hint+" ", strings.ToUpper(there[:1])+there[1:]
	}
	return fmt.Sprintf("no area %s in this site%s%s", strings.Join(e.Areas, ", "), hint, there)
}

// chosen is a Choice, ready to test labels against.
type chosen struct {
	*Choice
	ids map[string]bool
}

// of refuses ids and areas that a site does not have. there are the areas of its labels.
func (c *Choice) of(there []string) (*chosen, error) {
	there = slices.DeleteFunc(slices.Clone(there), func(a string) bool { return a == "" })
	slices.Sort(there)
	there = slices.Compact(there) // nearly all are equal
	slices.SortStableFunc(there, func(a, b string) int { return cmp.Or(natural(a, b), cmp.Compare(a, b)) })
	there = slices.CompactFunc(there, strings.EqualFold)
	var unknown []string
	for _, a := range c.Areas {
		if !slices.ContainsFunc(there, func(t string) bool { return strings.EqualFold(a, t) }) {
			unknown = append(unknown, a)
		}
	}
	if unknown != nil {
		return nil, &UnknownAreaError{unknown, there}
	}
	all := &chosen{Choice: c, ids: map[string]bool{}}
	for _, id := range c.IDs {
		all.ids[id] = true
	}
	return all, nil
}

// named reports whether a person asks for a label by its id.
func (c *chosen) named(id string) bool { return c.ids[id] }

// has reports whether a location in an area is chosen.
func (c *chosen) has(id, area string) bool {
	return (len(c.ids) == 0 || c.ids[id]) &&
		(len(c.Areas) == 0 || slices.ContainsFunc(c.Areas, func(a string) bool { return strings.EqualFold(a, area) }))
}

// nothing says that there is nothing to print for this choice.
func (c *Choice) nothing(thing Thing) string {
	what := map[Thing]string{Labels: "label", Markings: "fault current marking", Overlays: "overlay"}[thing]
	var where string
	if len(c.Areas) > 0 {
		where = " in " + strings.Join(c.Areas, ", ")
	}
	if len(c.IDs) > 0 {
		where += " for the named locations"
	}
	switch {
	case c.Changed && thing == Overlays:
		return fmt.Sprintf("nothing is due: every printed label%s that does not hold has its overlay; "+
			"nothing was printed", where)
	case c.Changed:
		return fmt.Sprintf("nothing is due: no %s%s differs from its last print; nothing was printed", what, where)
	case thing == Overlays:
		return fmt.Sprintf("no printed label%s is in question or has lapsed; nothing was printed", where)
	case len(c.IDs) == 0 && len(c.Areas) == 0:
		return "nothing was printed"
	}
	return fmt.Sprintf("no %s to print%s; nothing was printed", what, where)
}

// areas lists the areas of a site's locations.
func areas(v *plant.Plant) []string {
	all := make([]string, len(v.Places))
	for i := range v.Places {
		all[i] = v.Places[i].Assessment.Location.Area
	}
	return all
}

// doubtful counts the printed labels of a choice that do not hold.
func (c *Choice) doubtful(v *plant.Plant) (n int) {
	chosen, err := c.of(areas(v))
	if err != nil {
		return 0
	}
	for i := range v.Places {
		p := &v.Places[i]
		at := p.Assessment.Location
		if l := p.Printed; l != nil && l.Withdrawn == nil && !at.Unlabeled && !l.Holds() && chosen.has(at.ID, at.Area) {
			n++
		}
	}
	return n
}

// Pick is a site with only the chosen locations and labels, for a list of them.
func (c *Choice) Pick(v *plant.Plant) (*plant.Plant, error) {
	there := areas(v)
	unlisted := map[string]bool{}
	for i := range v.Unlisted {
		unlisted[v.Unlisted[i].ID] = true
		there = append(there, v.Unlisted[i].Area())
	}
	if err := known(v, c.IDs, func(id string) bool { _, ok := v.Site.Location(id); return ok || unlisted[id] }); err != nil {
		return nil, err
	}
	chosen, err := c.of(there)
	if err != nil {
		return nil, err
	}
	picked := *v
	picked.Places = slices.DeleteFunc(slices.Clone(v.Places), func(p plant.Place) bool {
		return !chosen.has(p.ID(), p.Assessment.Location.Area)
	})
	picked.Unlisted = slices.DeleteFunc(slices.Clone(v.Unlisted), func(u plant.Unlisted) bool { return !chosen.has(u.ID, u.Area()) })
	return &picked, nil
}
