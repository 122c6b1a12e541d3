package page

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"vouchmark/assess"
)

// Every finding of check is on the pages, at its location and once among its kind and level, and
// they say how many there are.
func TestFindings(t *testing.T) {
	for _, live := range []*Live{nil, {}} {
		b := mill(t, "2026-05-01", live)
		v := b.Shelf.Site
		data := all(t, b)["findings/index.html"]
		_, locations, _ := strings.Cut(data, "By location")
		errors, cautions, accepted, codes := 0, 0, 0, map[string]bool{}
		check := func(id string, findings []assess.Finding) {
			if len(findings) == 0 {
				return
			}
			_, part, _ := strings.Cut(locations, "<h3>"+id)
			part, _, _ = strings.Cut(part, "<h3>")
			if n := strings.Count(part, "<li>"); n != len(findings) {
				t.Errorf("%s has %d findings, not %d", id, n, len(findings))
			}
			for i := range findings {
				f := &findings[i]
				codes[fmt.Sprintf(`>%s</span> <span class="code">%s</span></th>`, f.Level, f.Code)] = true
				accepted += btoi(f.AcceptedBy != "")
				errors += btoi(f.Level == assess.Error)
				cautions += btoi(f.Level == assess.Caution)
				if !strings.Contains(part, ">"+string(f.Code)+"<") {
					t.Errorf("%s lacks %s", id, f.Code)
				}
			}
		}
		check("The site", v.Findings)
		for i := range v.Places {
			check(v.Places[i].ID(), v.Places[i].Assessment.Findings)
		}
		kinds, _, _ := strings.Cut(data, "By location")
		for code := range codes {
			if strings.Count(kinds, code) != 1 {
				t.Errorf("%s is not once among the kinds", code)
			}
		}
		if errors < 2 || cautions < 5 || accepted < 1 || !strings.Contains(data, fmt.Sprintf("<p>%d errors, %d cautions (%d accepted).", errors, cautions, accepted)) {
			t.Errorf("%d errors, %d cautions: %.900s", errors, cautions, data)
		}
		sums := map[string]int{} // the table adds up to what the page says
		for _, row := range regexp.MustCompile(`class="level (\w+)".*<td>(\d+) found`).FindAllStringSubmatch(kinds, -1) {
			n, _ := strconv.Atoi(row[2])
			sums[row[1]] += n
		}
		if sums["error"] != errors || sums["caution"] != cautions {
			t.Errorf("the kinds add up to %v", sums)
		}
		if !strings.Contains(all(t, b)["index.html"], `href="findings/`) {
			t.Error("no page leads to the findings")
		}
	}
}
