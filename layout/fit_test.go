package layout

import (
	"slices"
	"testing"
)

// French sets white before a colon and a semicolon and inside its quotation marks; no
// line begins or ends there.
func TestWrapKeepsSpacedSigns(t *testing.T) {
	for text, want := range map[string][]string{
		"un deux : trois":  {"un", "deux :", "trois"},
		"un deux ; trois":  {"un", "deux ;", "trois"},
		"un « deux » tr":   {"un", "« deux »", "tr"},
		"un deux trois : ": {"un deux", "trois :"},
	} {
		if got, ok := paperBody.wrap(text, paperBody.width("« deux »")+0.1); !ok || !slices.Equal(got, want) {
			t.Errorf("%q: %q", text, got)
		}
	}
}
