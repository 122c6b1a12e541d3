package layout

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"vouchmark/label"
)

// sampleGuide is a guide in one of the program's own languages.
func sampleGuide(t *testing.T, language string, all bool) *label.Guide {
	t.Helper()
	var words map[string]any
	if _, err := toml.DecodeFile(filepath.Join("..", "label", "wording", language+".toml"), &words); err != nil {
		t.Fatal(err)
	}
	fill := strings.NewReplacer("{cutoff}", "40 cal/cm²", "{id}", "MCC-4", "{who}", "the electrical safety desk",
		"{interim}", words["interim"].(string))
	one := func(key string) string { return fill.Replace(words["guide_"+key].(string)) }
	many := func(key string) (all []string) {
		for _, s := range words["guide_"+key].([]any) {
			all = append(all, fill.Replace(s.(string)))
		}
		return all
	}
	g := &label.Guide{
		Site: "Brackwater Creamery (invented)", Title: one("title"), Lead: one("lead"), Sample: sample(),
		Before: label.Section{Title: one("before_title"), Lines: many("before")},
		Doubt:  label.Section{Title: one("doubt_title"), Lines: many("doubt")},
		Ladder: label.Section{Title: one("ladder_title")}, Cutoff: one("cutoff"),
		Ask: one("ask"), Cautions: one("cautions"),
	}
	for _, c := range []struct{ block, key string }{{"signal", "signal"}, {"message", "message"}, {"place", "place"}, {"reach", "reach"},
		{"kit", "kit"}, {"gloves", "gloves"}, {"foot", "foot"}, {"QR code", "code"}} {
		text := many(c.key)
		g.Callouts = append(g.Callouts, label.Callout{Block: c.block, Title: text[0], Text: text[1]})
	}
	if all { // also the parts that only some sites have
		g.Also = []string{one("bound"), one("maintenance"), one("rated")}
	}
	for _, r := range ladder4 {
		g.Rungs = append(g.Rungs, label.Rung{Kit: r.Kit, Rating: strings.TrimSuffix(r.Rating, " cal") + " cal/cm²"})
	}
	return g
}

func TestGuide(t *testing.T) {
	t.Run("common parts", func(t *testing.T) { testGuide(t, false) })
	t.Run("all parts", func(t *testing.T) { testGuide(t, true) })
}

func testGuide(t *testing.T, all bool) {
	for _, language := range []string{"en", "es", "fr"} {
		for _, paper := range Papers {
			g := sampleGuide(t, language, all)
			pages, err := GuidePage(g, paper)
			if err != nil {
				t.Errorf("%s on %s: %v", language, paper.Name, err)
				continue
			}
			what := language + " on " + paper.Name
			if len(pages) != 1 || pages[0].Size != paper.Size {
				t.Fatalf("%s: %d pages", what, len(pages))
			}
			pagesSound(t, what, pages, MM(12))
			page := pages[0].Drawings[0].Drawing
			texts := append([]string{g.Title, g.Site, g.Lead, g.Cutoff, g.Ask, g.Cautions, g.Before.Title, g.Doubt.Title, g.Ladder.Title}, append(g.Before.Lines, g.Doubt.Lines...)...)
			if all {
				texts = append(texts, strings.Join(g.Also, " "))
			}
			for _, c := range g.Callouts {
				texts = append(texts, c.Title, c.Text)
			}
			for _, r := range g.Rungs {
				texts = append(texts, r.Kit, r.Rating)
			}
			if err := says(texts, page); err != nil {
				t.Errorf("%s: %v", what, err)
			}
			// Every part has its number twice: at the sample and before its text.
			for n := range g.Callouts {
				found := 0
				for _, o := range page.Ops {
					if o.Kind == Text && o.Ink == White && o.Text == fmt.Sprint(n+1) {
						found++
					}
				}
				if found != 2 {
					t.Errorf("%s: number %d is there %d times", what, n+1, found)
				}
			}
			if sample := pages[0].Drawings[1]; sample.Size != (Size{Inch(4), Inch(4)}) {
				t.Errorf("%s: the sample is %.0f x %.0f", what, sample.Size.W, sample.Size.H)
			}
		}
	}
}

// TestGuideNumbers: a number is at the height of its part.
func TestGuideNumbers(t *testing.T) {
	pages, err := GuidePage(sampleGuide(t, "en", false), Papers[0])
	if err != nil {
		t.Fatal(err)
	}
	page, sample := pages[0].Drawings[0], pages[0].Drawings[1]
	for n, name := range []string{"signal", "message", "place", "reach", "kit", "gloves", "foot"} {
		part := slices.IndexFunc(sample.Blocks, func(b Block) bool { return b.Name == name })
		if part < 0 {
			t.Fatalf("no block %s", name)
		}
		b := sample.Blocks[part]
		for _, o := range page.Ops {
			if o.Kind == Text && o.Ink == White && o.Text == fmt.Sprint(n+1) && o.X < sample.X {
				if y := o.Y - sample.Y; y < b.Y || y > b.Y+b.H {
					t.Errorf("number %d at %.1f, %s from %.1f to %.1f", n+1, y, name, b.Y, b.Y+b.H)
				}
			}
		}
	}
}

func TestGuideFitErrors(t *testing.T) {
	g := sampleGuide(t, "en", false)
	g.Before.Lines = append(g.Before.Lines, strings.Repeat("Ask again before you begin. ", 120))
	if _, err := GuidePage(g, Papers[0]); Misfits(err) == nil {
		t.Errorf("a guide of two pages: %v", err)
	}
	g = sampleGuide(t, "en", false)
	g.Ask = "Ask 😀"
	if _, err := GuidePage(g, Papers[0]); Misfits(err) == nil {
		t.Errorf("a text without a glyph: %v", err)
	}
}
