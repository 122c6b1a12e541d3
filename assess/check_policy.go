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

// checkWear finds a language of the site in which there is no list of what is
// worn here.
func (a *Assessment) checkWear() {
	wear, key, what := a.Policy.BelowThresholdWear, "below_threshold_wear", "what to wear below 1.2 cal/cm²"
	if rung := a.Policy.Rung(a.Kit); rung != nil {
		wear, key, what = rung.Wear, "wear", "what to wear with "+rung.Kit
	} else if a.Status != NotRequired {
		return
	}
	if len(wear) == 0 {
		return
	}
	var missing, keys []string
	for _, lang := range a.Policy.Languages {
		if wear.Speaks(lang) {
			continue
		}
		missing = append(missing, lang)
		if lang == "en" {
			keys = append(keys, key)
		} else {
			keys = append(keys, key+"_"+lang)
		}
	}
	if missing != nil {
		a.cautionf(a.Location.Cases[0].Line, WearUntranslated, "ladder", "no list in %s of %s: the label shows the list "+
			"once, in the language it has, marked as not translated; add %s to site.toml",
			strings.Join(missing, " and "), what, strings.Join(keys, " and "))
	}
}
