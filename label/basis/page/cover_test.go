package page

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/label/plant"
)

// The start page, the walk, the search and the page of each label mean the same labels by cover.
func TestCover(t *testing.T) {
	for _, live := range []*Live{nil, {Writes: true}} {
		b := mill(t, "2026-05-01", live)
		walk, low := map[string]bool{}, 0
		for _, task := range b.Shelf.Site.Tasks() {
			if task.Do == plant.Cover {
				walk[task.ID] = true
			}
		}
		found := (&Asked{Text: "Cover"}).find(b.entries())
		for _, e := range found {
			if !walk[e.ID] || e.tooLow != strings.Contains(e.Word, "COVER") {
				t.Errorf("cover finds %+v", e)
			}
			low += btoi(e.tooLow)
		}
		if len(found) != len(walk) || low == 0 || low == len(walk) {
			t.Errorf("cover finds %d labels, %d of them printed too low; the walk covers %d", len(found), low, len(walk))
		}
		files := all(t, b)
		task := fmt.Sprintf("cover %d: %d printed too low, ", len(walk), low)
		for _, name := range []string{"index.html", "walk/index.html"} {
			if !strings.Contains(files[name], task) {
				t.Errorf("%s does not say %q", name, task)
			}
		}
		if start := files["index.html"]; strings.Contains(start, "to cover") ||
			!strings.Contains(start, fmt.Sprintf("<strong>%d</strong> printed too low", low)) ||
			!strings.Contains(start, fmt.Sprintf("in question, %d of them printed too low", low)) {
			t.Error("the start page counts otherwise:", start)
		}
		for name, data := range files {
			if !strings.HasPrefix(name, "V/") || strings.Count(name, "/") != 3 || !strings.HasSuffix(name, ".html") {
				continue
			}
			_, id, _ := strings.Cut(data, `<h2 class="place">`)
			id, _, _ = strings.Cut(id, "</h2>")
			replaced := strings.Contains(data, "REPLACED by")
			for _, text := range []string{"Cover this label with an overlay.", "Cubra esta etiqueta con una sobreetiqueta."} {
				if strings.Contains(data, text) != (walk[id] && !replaced) {
					t.Errorf("%s of %s, on the walk to be covered: %v, and its text differs in that: %q", name, id, walk[id], text)
				}
			}
		}
	}
}
