package assess

import (
	"strings"

	"vouchmark/assess/shock"
)

// checkPolicy adds findings from the parts of the policy that a record does not
// keep: the owner's other approach rows, and the languages.
func (a *Assessment) checkPolicy() {
	if !a.Location.Unlabeled {
		a.checkApproach()
		a.checkWear()
	}
}

// checkApproach finds an owner's approach row with a nearer boundary than the last
// row below it: boundaries grow with the voltage in every edition.
func (a *Assessment) checkApproach() {
	if a.Shock.Owner == "" {
		return
	}
	nearer, than := shock.Nearer(a.Location.Supply, a.Shock.Voltage, a.Policy.Approach)
	if nearer != "" {
		a.errorf(a.Location.Cases[0].Line, ApproachTooNear, "voltage_v", "the owner's [[approach]] row for this voltage has a %s "+
			"boundary that is nearer than in the row %s below it; compare it with the table of your edition", nearer, than)
	}
}

// checkWear finds a language of the site for which the list of what to wear is in
// another language.
func (a *Assessment) checkWear() {
	wear, what := a.Policy.BelowThresholdWear, "below_threshold_wear"
	if rung := a.Policy.Rung(a.Kit); rung != nil {
		wear, what = rung.Wear, "wear of "+rung.Kit
	} else if a.Status != NotRequired {
		return
	}
	var missing []string
	for _, lang := range a.Policy.Languages {
		if _, own := wear[lang]; !own && lang != "en" && len(wear) > 0 {
			missing = append(missing, lang)
		}
	}
	if missing != nil {
		a.cautionf(a.Location.Cases[0].Line, WearUntranslated, "ladder", "%s is not translated into the language %s: "+
			"the label shows the list once, in its own language; add a list wear_%s in site.toml",
			what, strings.Join(missing, ", "), missing[0])
	}
}
