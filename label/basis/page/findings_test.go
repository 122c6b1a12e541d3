package page

import (
	"cmp"
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
			_, part, _ := strings.Cut(locations, `<h3 id="`+map[bool]string{true: "site", false: anchor(id)}[id == "The site"]+`">`)
			part, _, _ = strings.Cut(part, "<h3")
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
		for i := range v.Places { // a heading leads to the label
			p := &v.Places[i]
			if p.Printed == nil || len(p.Assessment.Findings) == 0 {
				continue
			}
			if want := fmt.Sprintf(`<h3 id="%s"><a href="../V/%s/`, anchor(p.ID()), p.Printed.ID.Code()); !strings.Contains(locations, want) {
				t.Errorf("no heading leads to the label of %s", p.ID())
			}
		}
		if !strings.Contains(all(t, b)["index.html"], `href="findings/`) {
			t.Error("no page leads to the findings")
		}
	}
}

// However many places a kind has, each is reached from it: the first are seen, the others folded, and each
// link leads to the heading of its location, on whatever page that is.
func TestFindingsReachEachPlace(t *testing.T) {
	const n = 450
	b := large(t, n)
	for i := range b.Shelf.Site.Places {
		a := b.Shelf.Site.Places[i].Assessment
		a.Findings = append(a.Findings, assess.Finding{Level: assess.Caution, Code: assess.Codes[0].Code, Message: "invented"})
	}
	files := all(t, b)
	first := files["findings/index.html"]
	link, most := regexp.MustCompile(`<a href="([^"#]*)(#[^"]*)">([^<]*)</a>`), 0
	for _, row := range regexp.MustCompile(`(?s)<tr><th scope="row"><span class="level.*?</tr>`).FindAllString(first, -1) {
		seen, _, _ := strings.Cut(row, "<details>")
		links := link.FindAllStringSubmatch(row, -1)
		if len(links) == 0 || len(link.FindAllString(seen, -1)) > mostPlaces || strings.Contains(row, "<details>") != (len(links) > mostPlaces) {
			t.Errorf("%d places, %d of them seen", len(links), len(link.FindAllString(seen, -1)))
		}
		for _, m := range links {
			if page := "findings/" + cmp.Or(m[1], "index.html"); !strings.Contains(files[page], `<h3 id="`+m[2][1:]+`">`) {
				t.Errorf("%s leads nowhere on %s", m[3], page)
			}
		}
		most = max(most, len(links))
	}
	if most < n-1 || files["findings/3.html"] == "" {
		t.Errorf("only %d places of a kind", most)
	}
	last := b.Shelf.Site.Places[n-1].ID()
	if page, at, ok := b.LocateFindings(last); !ok || !strings.Contains(files[page], `<h3 id="`+at+`">`) || page == "findings/index.html" {
		t.Errorf("%s is on %s", last, page)
	}
	if _, _, ok := b.LocateFindings("NOWHERE"); ok {
		t.Error("found what is not there")
	}
}
