package serve

import (
	"slices"
	"strings"

	"vouchmark/label/plant"
)

// idOf is the id that a person typed, in whatever capitals: an id is taken as it is, else for the
// one that differs from it in capitals alone. Where there is none, or several, it stays as typed, so
// that no label is ever guessed.
func idOf(v *plant.Plant, typed string) string {
	typed = strings.TrimSpace(typed)
	known := append(v.Known(), v.Site.Policy.Former...)
	if slices.Contains(known, typed) {
		return typed
	}
	found := ""
	for _, id := range known {
		switch {
		case !strings.EqualFold(id, typed) || id == found:
		case found != "":
			return typed
		default:
			found = id
		}
	}
	if found == "" {
		return typed
	}
	return found
}

// idsOf are the ids that a field names, likewise.
func idsOf(v *plant.Plant, typed string) []string {
	ids := v.IDs([]string{idOf(v, typed)})
	for i := range ids {
		ids[i] = idOf(v, ids[i])
	}
	return ids
}

// id reads the id in a field, and shows it from then on as the site spells it.
func (f *fields) id(name string, v *plant.Plant) string {
	id := idOf(v, f.Value[name])
	f.Value[name] = id
	if f.Many[name] != nil {
		f.Many[name] = []string{id}
	}
	return id
}
