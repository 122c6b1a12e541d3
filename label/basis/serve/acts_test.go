package serve

import (
	"cmp"
	"html"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/basis/page"
	"vouchmark/label/plant"
)

// What a text names as an act is done where its link leads: every act that the pages have words for.
func TestActsLead(t *testing.T) {
	p := newPlant(t, true)
	p.logged(t)
	file := filepath.Join(p.dir, "locations.csv") // a row with a finding
	data, err := os.ReadFile(file)
	other := strings.Replace(string(data), "GAL-SB2,ac3,480,15.1,42,", "GAL-SB2,ac3,480,15.1,14,", 1)
	if err := cmp.Or(err, os.WriteFile(file, []byte(other), 0o644)); err != nil || other == string(data) {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	const id = "TUB-MC4"
	code := string(p.codes[id])
	ask := "ask whoever keeps the site folder" // and no page
	links := regexp.MustCompile(`<a href="\.\./([^"]*)">“`)
	for _, act := range []assess.Act{assess.ToCheck, assess.ToList, assess.ToPrint, assess.ToPrintDue, assess.ToPrintOverlay, assess.ToReprint,
		assess.ToWithdraw, assess.ToRemove, assess.ToSee, assess.ToSeeNone, assess.ToUncover, assess.ToSettle, assess.ToAnswer, assess.ToAccept, assess.ToNote, assess.ToInterim} {
		on := id
		if act == assess.ToSettle || act == assess.ToAnswer {
			on = "2026-05-01/REP-TX3"
		}
		words := page.Words(act, on)
		text := string(page.Linked("to <do>: "+words+".", "../", id, code))
		found := links.FindAllStringSubmatch(text, -1)
		if len(found) != strings.Count(words, "“") || len(found) == 0 && words != ask || !strings.HasPrefix(text, "to &lt;do&gt;: ") {
			t.Errorf("%s: %s", act, text)
		}
		for _, m := range found {
			path := "/" + html.UnescapeString(m[1])
			w := p.get(path)
			if w.Code == 302 {
				to, _, _ := strings.Cut(w.Header().Get("Location"), "#")
				w = p.get("/" + strings.TrimLeft(to, "./"))
			}
			if w.Code != 200 {
				t.Errorf("%s leads to %s: %d", act, path, w.Code)
			}
		}
	}
	if got := string(page.Linked(`“Settle <b>” and “Other”`, "../", id, code)); got != `<a href="../settle/?change=%3Cb%3E">“Settle &lt;b&gt;”</a> and “Other”` {
		t.Error(got)
	}

	settle := `<a href="../settle/?change=` + url.QueryEscape("2026-05-01/REP-TX3") + `">“Settle 2026-05-01/REP-TX3”</a>`
	says(t, p.get("/due/").Body.String(), settle)
	p.Handler.site.Desk.Plan = func(v *plant.Plant, _ Order) (*Sheets, error) {
		made := &Sheets{}
		for _, id := range []string{"REP-LP1", "GAL-SB2"} {
			one, _ := v.Place(id)
			r := one.PreviewRefusal(false)
			if r == nil {
				r = &plant.Refusal{Why: "invented", Do: assess.Remedy{Words: "correct it; {}", Act: assess.ToList}}
			}
			made.Refused = append(made.Refused, NotPrinted{id, Refusal{r.Why, v.Worded(page.Words).Clears(r)}})
		}
		return made, nil
	}
	says(t, p.get("/print/").Body.String(), settle, `<a href="../findings/?at=GAL-SB2">“Findings”</a>`)
	if w := p.get("/findings/?at=TUB-MC4"); w.Code != 302 || w.Header().Get("Location") != "../findings/index.html#at-TUB-MC4" {
		t.Errorf("%d %s", w.Code, w.Header().Get("Location"))
	}
	if w := p.get("/findings/?at=NONE"); w.Code != 302 || w.Header().Get("Location") != "../findings/" {
		t.Errorf("%d %s", w.Code, w.Header().Get("Location"))
	}
	says(t, p.get("/reprint/?code=REP-LP1").Body.String(), settle)
}
