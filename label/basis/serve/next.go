package serve

import (
	"net/url"

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
	for _, t := range v.Tasks() {
		if t.ID != id {
			continue
		}
		printed := t.First.Words == ""
		switch {
		case t.Do == plant.Cover && t.ByHand():
			all = append(all, step{Text: "Cover the label of " + id + " by hand: its overlay cannot be printed."})
		case t.Do == plant.Cover && printed:
			all = append(all, step{"Mount the overlay on the label of " + id + ", then note it.", at("mounted", id, "what", "overlay")})
		case t.Do == plant.Cover:
			all = append(all, step{"Print the overlay for " + id + ".", at("overlay", id)})
		case t.Do == plant.Uncover:
			all = append(all, step{"Remove the overlay from the label of " + id + ", then note it.", at("removed", id, "what", "overlay")})
		case t.Do == plant.Remove:
			all = append(all, step{"Remove the label of " + id + " from the equipment, then note it.", at("removed", id)})
		case printed:
			all = append(all, step{"Mount the label of " + id + ", then mark it installed.", at("mounted", id)})
		default:
			all = append(all, step{"Print the new label of " + id + ".", "print/?only=" + url.QueryEscape(id)})
		}
	}
	return all
}

// home leads to the page of the label printed last for a location.
func home(v *plant.Plant, id string) []step {
	p := printedOf(v, id)
	if p == nil {
		return nil
	}
	return []step{{"The page of the label of " + id, pageOf(p.ID.Code())}}
}
