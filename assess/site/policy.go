package site

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

// linkForm is the start of a label's link: all of it in the alphanumeric set
// of QR codes (ISO/IEC 18004), which keeps the code small.
var linkForm = regexp.MustCompile(`^HTTPS?://[0-9A-Z-]+(\.[0-9A-Z-]+)*(:[0-9]+)?(/[0-9A-Z.-]+)*$`)

// longestLink keeps the longest possible QR text within version 5 at error correction M.
const longestLink = 35

// readPolicy reads site.toml.
func (r *reader) readPolicy() {
	n := r.readTOML(policyFile, func() {
		r.report(policyFile, 0, "", "no such file", "the owner's policy",
			assess.Remedy{Words: "give the site folder with --site DIR, or create one with {}", Act: assess.ToStart}.
				Text(r.Command))
	})
	if n == nil {
		return
	}
	p := &r.site.Policy
	p.Name = n.text("name", true)
	p.Link = n.text("link", false)
	p.FormerLinks = n.list("former_links", false)
	wrongLink := func(key, link string) {
		n.faultIf(link != "" && (!linkForm.MatchString(link) || len(link) > longestLink), key, quote(link),
			fmt.Sprintf("scheme, host and an optional path in capitals, at most %d characters, "+
				"no slash at the end, such as HTTPS://LABELS.EXAMPLE.ORG", longestLink), "")
	}
	wrongLink("link", p.Link)
	for _, former := range p.FormerLinks {
		wrongLink("former_links", former)
	}
	p.Units = choice(n, "units", true, "", assess.AllUnits)
	p.Languages = languages(n)
	p.Edition = n.text("edition", true)
	p.Cutoff = assess.CalCM2(n.number("cutoff_cal_cm2", true, 0, 1.2, 1000,
		"the incident energy in cal/cm² above which nobody works energized, such as 40.0"))
	p.ReviewMonths = n.whole("review_months", true, 60, 1, 60, "a whole number of months from 1 to 60: "+
		"the analysis must be reviewed at intervals of at most 5 years (NFPA 70E 130.5(G))")
	p.NoticeDays = n.whole("notice_days", false, 90, 0, 1826, "a whole number of days from 0 to 1826")
	p.StaleDays = n.whole("stale_days", false, 7, 1, 366, "a whole number of days from 1 to 366")
	p.SeenMonths = n.whole("seen_months", false, 0, 1, 60, "a whole number of months from 1 to 60: "+
		"after so long somebody must look at each label on its equipment again (leave it out for no interval)")
	p.TolerancePercent = n.number("tolerance_percent", false, 5, 0, 10, "a percentage from 0 to 10")
	p.FrequencyHz = assess.Hertz(n.number("frequency_hz", false, 60, leastHertz, mostHertz, hertzExpected))
	r.hertz = float64(p.FrequencyHz)
	p.Typical, p.Starter = n.yes("typical"), n.yes("starter")
	p.MaintenanceOnPage = n.word("maintenance_line", false, "label", "label", "page") == "page"
	r.dates, r.defaults = readDateForm(n), readDefaults(n)
	p.Defaulted = map[string]bool{}
	for name := range r.defaults {
		p.Defaulted[name] = true
	}
	p.DateForm = r.dates.name
	p.DangerTest, p.ShowClearingTime = n.texts("danger_test"), n.yes("show_clearing_time")
	sources(n, p)
	p.TwoSecondReason = n.answer("two_second_reason", n.text("two_second_reason", false))
	p.OwnMain = n.yes("own_main")
	p.By = n.text("by", false)
	p.Ask = n.text("ask", false)
	p.Former = n.list("former", false)
	var classes []string
	for _, g := range shock.Gloves {
		classes = append(classes, g.Class)
	}
	p.MinimumGloveClass = n.word("minimum_glove_class", false, "", classes...)
	govern(n, p)
	ladder(n, p)
	p.BelowThresholdWear = n.words("below_threshold_wear", false)
	n.each("approach", false, func(t *node) { approach(t, p) })
	n.each("stock", false, func(t *node) { stock(t, p) })
	ownHeadings(n)
	r.ignored = n.list("ignore_columns", false)
	n.each("transformer", false, func(t *node) { transformer(t, p) })
	n.each("feeder", false, feeder)
	n.each("accept", false, func(t *node) { accept(t, p) })
	starterPolicy(n, p)
	n.done()
}

// A power frequency, not a radio frequency.
const (
	leastHertz, mostHertz = 1.0, 1000.0
	hertzExpected         = "a frequency from 1 to 1000 Hz, such as 60"
)

// sources reads the locations fed from outside the plant.
func sources(n *node, p *assess.Policy) {
	p.Sources = n.list("sources", false)
	n.later = append(n.later, func() {
		for _, id := range p.Sources {
			n.location("sources", id)
		}
	})
}

func languages(n *node) []string {
	if !n.given("languages") {
		return []string{"en"}
	}
	l := n.list("languages", false)
	n.faultIf(len(l) < 1 || len(l) > 2 || len(l) == 2 && l[0] == l[1], "languages", fmt.Sprint(len(l)),
		"one or two different languages", "")
	for _, code := range l {
		n.faultIf(!slices.Contains(n.Languages, code), "languages", quote(code),
			"one of "+strings.Join(n.Languages, ", "), "a wording/"+code+".toml in the site folder adds a language")
	}
	return l
}

// govern reads which result decides. Anything but the larger one requires a named person who
// takes responsibility, with a reason and a date.
func govern(n *node, p *assess.Policy) {
	p.Govern = choice(n, "govern", false, assess.Larger, assess.AllGovern)
	must := p.Govern != assess.Larger
	p.GovernAcceptedBy = n.answer("govern_accepted_by", n.text("govern_accepted_by", must))
	p.GovernReason = n.answer("govern_reason", n.text("govern_reason", must))
	p.GovernDate = n.date("govern_date", must)
}

// ownHeadings reads [columns]: canonical name = the owner's heading.
func ownHeadings(n *node) {
	t := n.sub("columns", ask(n, "columns", false, nil, "a table [columns]", as[map[string]any]))
	n.headings, n.owner = map[string]string{}, map[string]string{}
	quantities := map[string]string{} // name without unit = canonical name
	for _, name := range spellings(assess.Columns) {
		if !t.given(name) {
			continue
		}
		heading := t.text(name, true)
		key := fold(heading)
		c, _ := columnOf(assess.Columns, name)
		other, twice := quantities[c.Name]
		t.faultIf(twice, name, "a second unit for "+c.Name, "one", other+" already names it")
		other, twice = n.owner[key]
		t.faultIf(twice, name, quote(heading), "a heading of its own", other+" has the same one")
		if own, ok := columnOf(assess.Columns, key); ok && key != name {
			t.fault(name, quote(heading), "a heading that is not itself the name of a column",
				fmt.Sprintf("it already means %s", own.Name))
		}
		quantities[c.Name], n.owner[key], n.headings[name] = name, name, heading
	}
	t.done()
}

// approach reads one of the owner's rows for voltages that the published tables do not cover.
func approach(t *node, p *assess.Policy) {
	const volts = "a voltage in volts, such as 15000"
	supplies := map[string]shock.Supply{"ac": shock.AC3, "dc": shock.DC}
	r := shock.Row{
		Supply: supplies[t.word("supply", true, "", "ac", "dc")],
		Above:  t.number("above_v", true, 0, 0, 1e6, volts),
		Upto:   t.number("upto_v", true, 0, 0, 1e6, volts),
		Fixed:  length(t, "limited", true), Movable: length(t, "limited_movable", false),
		Limit: length(t, "restricted", false),
		Rule:  shock.AtDistance,
	}
	rule := t.word("restricted", false, "", string(shock.AvoidContact))
	switch {
	case rule != "" && r.Limit > 0:
		t.fault("restricted", "a distance and a rule", "one of the two", "take one out")
	case rule != "":
		r.Rule = shock.AvoidContact
	case r.Limit == 0:
		t.fault("restricted_in", "no such key", `a distance, or restricted = "avoid contact"`, ownTable)
	}
	r.Source = t.text("source", true)
	r.Name = fmt.Sprintf("above %g V to %g V", r.Above, r.Upto)
	inches := func(mm float64) string { return fmt.Sprintf("%g in", mm/assess.MMPerInch) }
	t.faultIf(r.Upto > 0 && r.Above >= r.Upto, "upto_v", fmt.Sprint(r.Upto), "more than above_v", "")
	t.faultIf(r.Limit > r.Fixed && r.Fixed > 0, "restricted_in", inches(r.Limit),
		"less than the limited boundary", "the limited boundary is the outer one")
	t.faultIf(r.Movable > 0 && r.Movable < max(r.Fixed, r.Limit), "limited_movable_in", inches(r.Movable),
		"at least the limited boundary for a fixed part", "")
	name, covered := shock.Settled(r)
	t.faultIf(covered, "above_v", r.Name, "voltages that the published table does not cover",
		"its row "+name+" applies there and cannot be replaced")
	for _, o := range p.Approach {
		t.faultIf(o.Supply == r.Supply && r.Above < o.Upto && o.Above < r.Upto, "above_v", r.Name,
			"voltages that no other row covers", "another row has "+o.Name)
	}
	p.Approach = append(p.Approach, r)
}

const ownTable = "take it from the table of your own edition"

// length reads NAME_in, NAME_mm or NAME_ft as mm.
func length(t *node, name string, must bool) float64 {
	v, given := 0.0, 0
	for _, u := range assess.Lengths {
		if key := name + "_" + u.Suffix; t.given(key) {
			v = assess.Round9(t.number(key, true, 0, 1e-3, 1e5, "a length above 0") * u.Factor)
			given++
		}
	}
	t.faultIf(given > 1, name+"_in", "the length in two units", "one", "take one out")
	t.faultIf(given == 0 && must, name+"_in", "no such key", "a length", ownTable)
	return v
}

func transformer(t *node, p *assess.Policy) {
	tr := assess.Transformer{
		At:  t.text("at", true),
		KVA: t.number("kva", true, 0, 0.1, 1e6, "the rated power in kVA"),
		ImpedancePercent: t.number("impedance_percent", true, 0, 0.1, 30,
			"the impedance on the nameplate in percent, such as 5.75"),
		Secondary: assess.Volts(t.number("secondary_v", true, 0, math.SmallestNonzeroFloat64, 1e6,
			"the secondary voltage in volts")),
	}
	t.done()
	if t.plates[tr.At] {
		t.fault("at", quote(tr.At), "a location of its own",
			"there is another [[transformer]] with it; give each its own location")
	}
	t.plates[tr.At] = true
	p.Transformers = append(p.Transformers, tr)
	t.later = append(t.later, func() { t.location("at", tr.At) })
}

// location is the location that a key names; it reports one that is not in locations.csv, if that
// could be read.
func (n *node) location(key, id string) (*assess.Location, bool) {
	at, ok := n.index[id]
	if !ok {
		_, listed := n.listed[id]
		n.faultIf(id != "" && !listed && len(n.listed) > 0, key, quote(id), "the id of a location in locations.csv", "")
		return nil, false
	}
	return &n.site.Locations[at], true
}
