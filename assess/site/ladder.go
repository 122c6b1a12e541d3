package site

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"vouchmark/assess"
)

// tableName matches kit names that look like a category of NFPA 70E Table 130.7(C)(15)(c), or
// its older hazard/risk category. With a calculated incident energy 130.5(H) does not permit a
// category.
var tableName = regexp.MustCompile(`(?i)(^|[^a-z])(ppe)?(cat|hrc)([^a-z]|$)|cat[eé]gor|^\s*[1-4]\s*$`)

const longestKit = 24

// ladder reads [[ladder]]: lowest rung first, each rated above the one before, the top one at
// least at the cutoff.
func ladder(n *node, p *assess.Policy) {
	names := map[string]int{}
	var below assess.CalCM2
	n.each("ladder", true, func(t *node) {
		r := assess.Rung{
			Kit: t.text("kit", true),
			Rating: assess.CalCM2(t.number("rating_cal_cm2", true, 0, 1.2, 1000,
				"the arc rating of the kit's weakest item in cal/cm², such as 8.0")),
			Wear: t.words("wear", true),
			Line: t.line("kit"),
		}
		t.faultIf(t.given("wear") && len(r.Wear[""]) == 0, "wear", "an empty list", "what to wear, one item each", "")
		folded := fold(r.Kit)
		other, twice := names[folded]
		names[folded] = len(p.Ladder) + 1
		t.faultIf(twice && r.Kit != "", "kit", quote(r.Kit), "a name of its own",
			fmt.Sprintf("rung %d has the same name except for blanks, hyphens and capitals", other))
		bare := strings.ReplaceAll(folded, "_", "")
		t.faultIf(bare == "nokit" || bare == "danger", "kit", quote(r.Kit), "another name",
			"in the QR code this word means that there is no kit")
		long := utf8.RuneCountInString(r.Kit)
		t.faultIf(long > longestKit, "kit", fmt.Sprintf("%d characters", long), fmt.Sprintf("at most %d", longestKit),
			"the name is printed large on the label")
		more := fmt.Sprintf("more than the %g of the rung before", below)
		t.faultIf(r.Rating == below && below > 0, "rating_cal_cm2", fmt.Sprint(r.Rating), more,
			"with two rungs of one rating it is unclear which to wear")
		t.faultIf(r.Rating < below && r.Rating > 0, "rating_cal_cm2", fmt.Sprint(r.Rating), more,
			"put the lowest rung first")
		caution := func(code assess.Code, format string, args ...any) {
			p.Findings = append(p.Findings, assess.Finding{Level: assess.Caution, Code: code, Field: "ladder", Line: r.Line,
				Message: fmt.Sprintf(format, args...)})
		}
		if tableName.MatchString(r.Kit) {
			caution(assess.KitAsCategory, "the kit %q looks like a category of the PPE tables, which a label must not show "+
				"with an incident energy (NFPA 70E 130.5(H)); use a letter or a word instead", r.Kit)
		}
		if below >= p.Cutoff && p.Cutoff > 0 && len(p.Ladder) > 0 {
			caution(assess.RungAboveCutoff, "the kit %q is entirely above the cutoff of %g cal/cm² and is never chosen; "+
				"raise the cutoff, or delete the rung", r.Kit, p.Cutoff)
		}
		below = max(below, r.Rating)
		p.Ladder = append(p.Ladder, r)
	})
	n.faultIf(below > 0 && below < p.Cutoff, "cutoff_cal_cm2", fmt.Sprint(p.Cutoff),
		fmt.Sprintf("at most %g, the rating of the top rung", below),
		"in between the label could not name a kit; add a rung or lower the cutoff")
}
