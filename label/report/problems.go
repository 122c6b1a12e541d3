package report

import (
	"fmt"
	"io"
	"strings"

	"vouchmark/assess/site"
)

// Problems lists everything that is wrong with the input, for a person.
func Problems(w io.Writer, ps site.Problems) {
	fmt.Fprintf(w, "vouchmark: %s in %s; nothing was written\n", Plural(ps.Count(), "problem"),
		strings.Join(ps.Files(), " and "))
	for _, p := range ps {
		fmt.Fprintf(w, "  %s\n", p)
	}
}
