package serve

import (
	"net/url"

	"vouchmark/label/basis/page"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// step is something to do next, and the page on which it is done.
type step struct {
	Text string
	Href string // below the start page; "" for none
}

// at is the address of a form about a location.
func at(form, id string, more ...string) string {
	q := url.Values{"at": {id}}
	for i := 0; i < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return form + "/?" + q.Encode()
}

// pageOf is the address of a label's page.
func pageOf(code record.Code) string { return "V/" + string(code) + "/" }

// steps are what there is to do on the equipment of a location.
func steps(v *plant.Plant, id string) (all []step) {
	tasks := v.Tasks()
	for i := range tasks {
		if t := &tasks[i]; t.ID == id {
			all = append(all, step{todo(t), page.NextOf(t).Href})
		}
	}
	return all
}

// todo is a task as a sentence.
func todo(t *plant.Task) string {
	printed := t.First.Words == ""
	switch {
	case t.ByHand():
		return "Cover the label of " + t.ID + " by hand: its overlay cannot be printed."
	case t.Do == plant.Cover && printed:
		return "Mount the overlay on the label of " + t.ID + ", then note it."
	case t.Do == plant.Cover:
		return "Print the overlay for " + t.ID + "."
	case t.Do == plant.Uncover:
		return "Remove the overlay from the label of " + t.ID + ", then note it."
	case t.Do == plant.Remove:
		return "Remove the label of " + t.ID + " from the equipment, then note it."
	case printed:
		return "Mount the label of " + t.ID + ", then mark it installed."
	}
	return "Print the new label of " + t.ID + "."
}

// home leads to the page of the label printed last for a location.
func home(v *plant.Plant, id string) []step {
	p := printedOf(v, id)
	if p == nil {
		return nil
	}
	return []step{{"The page of the label of " + id, pageOf(p.ID.Code())}}
}
