package overview

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/label/report"
)

// The page of very many plants lists those that need attention first, and asks no browser to read more names than it
// can; overview.json has all plants.
func TestVeryManyPlants(t *testing.T) {
	names := report.Names(strings.Repeat("AAAA", 1500))
	read := func(place string) (Reading, error) {
		labels := report.StandingSum{Holds: 3}
		if place == "plant 2400" {
			labels.Cover = 1
		}
		return Reading{Summary: summary(t, place, "2026-05-20", labels), Link: "https://x.example.org/" + strings.ReplaceAll(place, " ", "-"), Names: names}, nil
	}
	for n, want := range map[int]struct {
		rows, unlisted int
		names          bool
	}{1000: {1000, 0, true}, 2500: {2000, 500, false}} {
		var places []string
		for i := range n {
			places = append(places, fmt.Sprintf("plant %d", i))
		}
		all, err := New(places, day(t, "2026-05-20"), 4, read).Files()
		if err != nil {
			t.Fatal(err)
		}
		files := map[string]string{}
		for _, f := range all {
			files[f.Name] = string(f.Data)
		}
		page := files[PageFile]
		if got := strings.Count(page, `<th scope="row">`); got != want.rows {
			t.Errorf("%d plants: %d rows, want %d", n, got, want.rows)
		}
		if more := fmt.Sprintf("and %d more plants", want.unlisted); strings.Contains(page, more) != (want.unlisted > 0) {
			t.Errorf("%d plants: the page does not say how many are not listed", n)
		}
		if got := files[NamesFile] != "" && strings.Contains(page, `data-names="names.js"`); got != want.names {
			t.Errorf("%d plants: names to find in: %v, want %v", n, got, want.names)
		}
		if strings.Count(files[DataFile], `"place"`) != n {
			t.Errorf("%d plants: overview.json lacks some", n)
		}
		if n > 2400 && strings.Index(page, "plant 2400") > strings.Index(page, "plant 0<") {
			t.Error("a plant with a label to cover is not first")
		}
	}
}
