package label

import (
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// WalkWords are the words of a walk list in one language.
type WalkWords struct {
	WalkTitle      string `toml:"walk_title"`
	WalkTitleFirst string `toml:"walk_title_first"` // of labels to cover before anything else
	WalkTitleLater string `toml:"walk_title_later"` // of what is to be printed first

	WalkLocation  string `toml:"walk_location"` // headings of the columns
	WalkEquipment string `toml:"walk_equipment"`
	WalkDo        string `toml:"walk_do"`
	WalkInitials  string `toml:"walk_initials"`

	WalkArea      string `toml:"walk_area"`
	WalkContinued string `toml:"walk_continued"`
	WalkNoArea    string `toml:"walk_no_area"`

	WalkRemove string `toml:"walk_remove"` // what a person does
	WalkVerify string `toml:"walk_verify"` // and then remove
	WalkPutOn  string `toml:"walk_put_on"`
	WalkCover  string `toml:"walk_cover"`
	WalkWith   string `toml:"walk_with"`
	WalkLeave  string `toml:"walk_leave"`

	WalkNewLabel   string `toml:"walk_new_label"` // and with what
	WalkOverlay    string `toml:"walk_overlay"`
	WalkItsOverlay string `toml:"walk_its_overlay"`
	WalkOverlayOf  string `toml:"walk_overlay_of"`

	WalkCheck    string `toml:"walk_check"` // how it is done
	WalkAtOnce   string `toml:"walk_at_once"`
	WalkOver     string `toml:"walk_over"`
	WalkUnlisted string `toml:"walk_unlisted"`
	WalkTick     string `toml:"walk_tick"`
	WalkNothing  string `toml:"walk_nothing"`

	WalkUrgent     string `toml:"walk_urgent"` // what is done first, and what has to be done before
	WalkPrintFirst string `toml:"walk_print_first"`
	WalkLater      string `toml:"walk_later"`
	WalkLaterDo    string `toml:"walk_later_do"`
	WalkByHand     string `toml:"walk_by_hand"`
	WalkMore       string `toml:"walk_more"`

	WalkTooLow       string `toml:"walk_too_low"` // notes
	WalkStrip        string `toml:"walk_strip"`
	WalkAgain        string `toml:"walk_again"`
	WalkWithdrawn    string `toml:"walk_withdrawn"`
	WalkGone         string `toml:"walk_gone"`
	WalkIfGone       string `toml:"walk_if_gone"`
	WalkUnlabeled    string `toml:"walk_unlabeled"`
	WalkConfirm      string `toml:"walk_confirm"`
	WalkOverlayFirst string `toml:"walk_overlay_first"`

	WalkSeen    string `toml:"walk_seen"` // and what was found on the equipment
	WalkOld     string `toml:"walk_old"`
	WalkOther   string `toml:"walk_other"`
	WalkForeign string `toml:"walk_foreign"`
	WalkMissing string `toml:"walk_missing"`
	WalkDamaged string `toml:"walk_damaged"`
}

// Walk words a walk list, in the first of the languages of a site: one person
// reads it. Without a language it is English.
func (p *Presentation) Walk() *WalkWords { return &p.first().WalkWords }

// first is the wording of the first language; English without one.
func (p *Presentation) first() *wording {
	if len(p.Languages) == 0 {
		return english
	}
	return p.wording(p.Languages[0])
}

// Area heads the rows of an area, of which so many are to be done; "" is for those
// without one.
func (w *WalkWords) Area(name string, rows int) string {
	if name == "" {
		name = w.WalkNoArea
	}
	return fill(w.WalkArea, "area", name, "count", strconv.Itoa(rows))
}

// Continued heads the rows of an area that goes on over a page.
func (w *WalkWords) Continued(area string) string { return fill(w.WalkContinued, "area", area) }

// OverlayOf names the overlay of a label.
func (w *WalkWords) OverlayOf(c record.Code) string { return fill(w.WalkOverlayOf, "code", string(c)) }

// First says what has to be done before locations can be walked to.
func (w *WalkWords) First(ids []string, do string) string {
	const most = 12
	where := strings.Join(ids[:min(len(ids), most)], ", ")
	if more := len(ids) - most; more > 0 {
		where = fill(w.WalkMore, "ids", where, "count", strconv.Itoa(more))
	}
	return fill(w.WalkLaterDo, "ids", where, "do", do)
}

// Seen says what somebody found on the equipment, and when.
func (w *WalkWords) Seen(on assess.Date, found record.Found) string {
	what := map[record.Found]string{record.FoundOld: w.WalkOld, record.FoundOther: w.WalkOther,
		record.FoundForeign: w.WalkForeign, record.FoundMissing: w.WalkMissing, record.FoundDamaged: w.WalkDamaged}[found]
	return fill(w.WalkSeen, "date", on.String(), "what", what)
}

// Withdrawn says when a label was withdrawn, and why.
func (w *WalkWords) Withdrawn(on assess.Date, reason string) string {
	return fill(w.WalkWithdrawn, "date", on.String(), "reason", reason)
}
