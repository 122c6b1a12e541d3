package press

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// panel is what really is on the equipment, whoever noted it.
type panel struct {
	label   record.Code
	strip   bool
	overlay bool
}

// crew does what walks list, on equipment.
type crew struct {
	*yard
	doors map[string]panel
}

// do does one row of a walk.
func (c *crew) do(r WalkRow, v *plant.Plant) {
	d := c.doors[r.ID]
	switch r.Do {
	case plant.PutOn, plant.Replace:
		d = panel{label: r.On, strip: v.History.Labels[r.ID].Strip}
	case plant.Cover:
		d.overlay = true
	case plant.Remove:
		d = panel{}
	case plant.Uncover:
		d.overlay = false
	}
	c.doors[r.ID] = d
}

// deed is how a row that was done is noted.
func deed(r WalkRow, v *plant.Plant) record.Deed {
	d := record.Deed{Kind: record.Mounted, Location: r.ID, Code: r.label}
	if r.Overlay {
		d.Thing = record.Overlay
	}
	if r.Do == plant.Remove || r.Do == plant.Uncover {
		d.Kind = record.Removed
	}
	if r.Do == plant.Remove {
		d.Reason = v.OutOfUse(r.ID)
	}
	return d
}

// walkAll does some of the rows that can be done, and notes some of what was done.
func (c *crew) walkAll(some, note func() bool) (rows []WalkRow) {
	v := c.view()
	rows = NewWalk(v)
	var deeds []record.Deed
	for _, r := range rows {
		if r.First == "" && some() {
			c.do(r, v)
			if note() {
				deeds = append(deeds, deed(r, v))
			}
		}
	}
	if _, err := c.store.Tell(deeds, c.today, "A", "test"); err != nil {
		c.Fatal(err)
	}
	return rows
}

// Whatever happened, and however little of it was noted: when what is due is
// printed and a walk is done and noted, nothing is left to do, each label that
// holds is seen as it was printed last, each that does not is covered or says so,
// and what is no longer needed is gone. And no walk in between removes a label from
// equipment that needs one.
func TestWalkEnds(t *testing.T) {
	runs := 20
	if suite.Exhaustive {
		runs = 1000
	}
	r := rand.New(rand.NewPCG(15, 5))
	for run := range runs {
		c := &crew{newYard(t, 5), map[string]panel{}}
		story := []string{}
		say := func(format string, a ...any) { story = append(story, c.today.String()+" "+fmt.Sprintf(format, a...)) }
		one := func() string { return c.site.Locations[r.IntN(len(c.site.Locations))].ID }
		often, seldom := func() bool { return r.IntN(4) > 0 }, func() bool { return r.IntN(4) == 0 }
		dropped := map[string]assess.Location{}
		for range 4 + r.IntN(14) {
			c.next()
			id := one()
			switch r.IntN(15) {
			case 0, 1:
				say("change at %s", id)
				c.change(id)
			case 2:
				say("settle")
				c.settle()
			case 3:
				say("study %s", id)
				c.study(id, assess.CalCM2(3+r.IntN(30)))
			case 4:
				if l, printed := c.view().History.Labels[id]; printed && l.Withdrawn == nil {
					say("withdraw %s", id)
					c.withdraw(id)
				}
			case 5:
				if id != "P0" {
					say("drop %s", id)
					dropped[id] = *c.row(id)
					c.drop(id)
				}
			case 6:
				for _, id := range slices.Sorted(maps.Keys(dropped)) {
					say("put %s back", id)
					c.site.Locations = append(c.site.Locations, dropped[id])
				}
				clear(dropped)
			case 7:
				if id != "P0" {
					say("label of %s", id)
					c.row(id).Unlabeled = !c.row(id).Unlabeled
				}
			case 8:
				say("print changed %q", c.labels(Choice{Changed: true}))
			case 9:
				say("print %s %q", id, c.labels(Choice{IDs: []string{id}}))
			case 10:
				say("interim %q", c.interim(Choice{Changed: seldom()}))
			case 11:
				say("overlays %q", c.overlays(Choice{Changed: often()}))
			case 12:
				if l, printed := c.view().History.Labels[id]; printed && l.Withdrawn == nil {
					say("reprint %s %q", id, c.reprint(id))
				}
			case 13:
				before := maps.Clone(c.doors)
				say("walk %+v", c.walkAll(often, often))
				for id, was := range before {
					v := c.view()
					p, listed := v.Place(id)
					needs := listed && !p.Assessment.Location.Unlabeled && v.History.Labels[id].Withdrawn == nil
					if now := c.doors[id]; needs && was.label != "" && now.label == "" {
						t.Errorf("run %d: %s lost its label:\n%q", run, id, story)
					}
				}
			case 14:
				say("walk, and nobody notes it %+v", c.walkAll(often, func() bool { return false }))
			}
		}
		always := func() bool { return true }
		rounds := 0
		for ; rounds < 6; rounds++ {
			c.next()
			say("print what is due %q, %q", c.labels(Choice{Changed: true}), c.overlays(Choice{Changed: true}))
			rows := c.walkAll(always, always)
			if say("walk %+v", rows); len(rows) == 0 {
				break
			}
		}
		if rounds > 3 {
			t.Errorf("run %d: the walk does not end:\n%q", run, story)
		}
		c.hold(fmt.Sprintf("run %d", run))
		if t.Failed() {
			for _, s := range story {
				t.Log(s)
			}
			return
		}
	}
}

// hold compares the equipment with the labels.
func (c *crew) hold(what string) {
	c.Helper()
	v := c.view()
	for id, l := range v.History.Labels {
		d := c.doors[id]
		p, listed := v.Place(id)
		switch {
		case !listed || p.Assessment.Location.Unlabeled || l.Withdrawn != nil:
			if d != (panel{}) {
				c.Errorf("%s: %s is not needed, and %+v is there", what, id, d)
			}
		case p.Printed.Holds():
			if d != (panel{label: l.ID.Code()}) {
				c.Errorf("%s: %s holds, and %+v is there instead of %s", what, id, d, l.ID.Code())
			}
		case !d.overlay && !(d.strip && d.label == l.ID.Code()):
			c.Errorf("%s: %s does not hold, and %+v is there", what, id, d)
		}
	}
	for id, d := range c.doors {
		if _, printed := v.History.Labels[id]; !printed && d != (panel{}) {
			c.Errorf("%s: %s was never printed, and %+v is there", what, id, d)
		}
	}
}
