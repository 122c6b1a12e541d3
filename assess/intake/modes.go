package intake

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// switched matches the name of an operating condition with an arc-reducing maintenance switch on;
// common practice.
var switched = regexp.MustCompile(`(?i)\bmaint|\b[ae]rms\b|\breduc(ed|ing|tion)\b`)

// modes marks cases with the maintenance switch on, as the person says. It asks about a case whose
// name suggests it: its energy is valid only with the switch on.
func (f *file) modes() {
	if f.named("mode") {
		return
	}
	open := map[string]int{}
	for i := range f.study.Rows {
		r := &f.study.Rows[i]
		text := r.Cells["case"]
		k := slices.IndexFunc(f.answers.Modes, func(g Given) bool { return fold(g.Column) == fold(text) })
		switch {
		case k >= 0:
			r.Cells["mode"] = f.answers.Modes[k].Value
		case switched.MatchString(text):
			open[text]++
		}
	}
	for _, text := range slices.Sorted(maps.Keys(open)) {
		f.ask(Question{What: fmt.Sprintf("the name of the case %q suggests an arc-reducing maintenance switch that is on: %d rows", text, open[text]),
			Do: fmt.Sprintf("give --mode %q, or %q if no switch is meant", text+"=maintenance", text+"=normal")})
	}
}

// ParseMode reads CASE=normal or CASE=maintenance.
func ParseMode(text string) (Given, error) {
	i := strings.LastIndex(text, "=")
	if i <= 0 {
		return Given{}, fmt.Errorf("%q is not CASE=maintenance or CASE=normal", text)
	}
	mode, ok := choice(columnNamed("mode"), strings.TrimSpace(text[i+1:]))
	if !ok {
		return Given{}, fmt.Errorf("%q is not CASE=maintenance or CASE=normal", text)
	}
	return Given{clean(text[:i]), mode}, nil
}
