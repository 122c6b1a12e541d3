package layout

import (
	"fmt"
	"time"

	"vouchmark/label"
)

// Invented labels, one for each variant. No place or plant of these names is
// meant.

var ladder4 = []label.Rung{{Kit: "Kit A", Rating: "4 cal"}, {Kit: "Kit B", Rating: "8 cal"}, {Kit: "Kit C", Rating: "25 cal"}, {Kit: "Kit D", Rating: "40 cal"}}

// sample is the label from which the variants are made: 480 V, kit B of four.
func sample() *label.Label {
	return &label.Label{
		ID: "MCC-4", Area: "Packaging", Code: "7K3M-9QTD-RC4A-0W2E",
		QR:     "HTTPS://LABELS.EXAMPLE.ORG/V/7K3M-9QTD-RC4A-0W2E/MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KITB",
		Ladder: ladder4, Chosen: 1,
		Reach: label.Reach{Arc: 1168.4, WorkingDistance: 457.2, Limited: 1066.8, Restricted: 304.8},
		Words: []label.Words{{
			Language: "en", Signal: "WARNING", Hazard: "ARC FLASH AND SHOCK HAZARD",
			Message:         []string{"Can kill or severely burn.", "De-energize first.", "Qualified persons only."},
			Supply:          "480 V AC 3-phase",
			Where:           "Motor control center · Packaging hall · fed from SWB-1",
			WorkingDistance: "working distance 18 in",
			Arc:             "ARC-FLASH BOUNDARY", ArcLength: "46 in",
			Limited: "LIMITED APPROACH", LimitedLength: "42 in",
			Restricted: "RESTRICTED APPROACH", RestrictedRule: "12 in",
			ToScale: "to scale", KeepOut: "Inside 46 in during energized work: everyone wears this PPE.",
			Energy: "6.6 cal/cm²", EnergyNote: "incident energy at 18 in",
			WearLead: "wear at least:", ArcRating: "arc rating",
			Wear:   []string{"arc-rated shirt and pants", "arc-rated face shield and balaclava", "hard hat", "safety glasses", "hearing protection", "heavy-duty leather gloves", "leather footwear"},
			Gloves: "Rubber insulating gloves Class 00 with leather protectors", GlovesNote: "for shock, inside restricted approach; max. use 500 V AC",
			Dates:   "Study 2026-03-14 · REVIEW BY 2031-03-14",
			Fault:   "available fault current 18.4 kA",
			Study:   "LC-26-03 rev 1",
			Applied: "installed", Scan: "Scan: calculation and label status", ScanAsk: "Brackwater Creamery: Q. Example, ext. 4711",
		}},
	}
}

const shockOnly = "Inside 42 in with live parts exposed: qualified persons only."

// variant is sample with its id, after a change.
func variant(id string, change func(l *label.Label, w *label.Words)) *label.Label {
	l := sample()
	l.ID = id
	change(l, &l.Words[0])
	return l
}

// samples are the variants, each looked at by eye.
func samples() []*label.Label {
	return []*label.Label{
		sample(),
		variant("SWB-1", func(l *label.Label, w *label.Words) {
			l.Danger, l.Chosen = true, -1
			l.Reach.Arc = 4089.4
			w.Signal = "DANGER"
			w.Message = []string{"Will kill or severely burn.", "Do not work on this equipment energized."}
			w.Where = "Switchboard · Main electrical room · fed from T-1"
			w.ArcLength, w.KeepOut = "161 in (13 ft 5 in)", "Inside 13 ft 5 in: no one while it is opened or operated energized."
			w.Energy = "63.0 cal/cm²"
			w.Wear, w.WearLead = nil, ""
			w.NoWork = "NO ENERGIZED WORK"
			w.NoWorkWhy = "63.0 cal/cm² at 18 in is above this site’s limit of 40 cal/cm²"
			w.NoWorkDo = []string{"From beyond 13 ft 5 in, lock out ALL sources.", "Treat as energized until tested; testing: ask Q. Example, ext. 4711 first."}
			w.GlovesNote = "for shock only, no arc protection; max. use 500 V AC"
		}),
		variant("LP-3", func(l *label.Label, w *label.Words) {
			l.Chosen = -1
			l.Reach.Arc = 431.8
			w.Supply = "208 V AC 3-phase"
			w.Where = "Panelboard · Offices, ground floor · fed from T-5"
			w.ArcLength, w.KeepOut = "17 in", shockOnly
			w.Energy, w.EnergyNote = "1.1 cal/cm²", "incident energy at 18 in"
			w.WearLead, w.WearTitle, w.WearWhy = "", "BELOW 1.2: arc-rated clothing not required", "with face and chest at 18 in or more. Hands closer: heavy-duty leather gloves."
			w.Wear = []string{"long non-melting shirt and pants", "safety glasses", "hearing protection", "heavy-duty leather gloves"}
			l.Reach.Arc = 431.8
		}),
		variant("LP-4", func(l *label.Label, w *label.Words) {
			l.Chosen = -1
			l.Reach = label.Reach{Arc: 300, WorkingDistance: 457.2, Limited: 1066.8}
			w.Supply = "120 V AC 1-phase"
			w.Where = "Panelboard · Guard house · fed from LP-3"
			w.ArcLength, w.KeepOut = "12 in", shockOnly
			w.RestrictedRule = "avoid contact"
			w.Energy, w.EnergyNote = "0.4 cal/cm²", "incident energy at 18 in"
			w.WearLead, w.WearTitle, w.WearWhy = "", "BELOW 1.2: arc-rated clothing not required", "with face and chest at 18 in or more. Hands closer: heavy-duty leather gloves."
			w.Wear, w.WearNote = []string{"long non-melting shirt and pants", "safety glasses", "hearing protection"}, "NFPA 70E Table 130.5(G):"
			w.GlovesNote = "for shock, where contact is possible; max. use 500 V AC"
		}),
		variant("BAT-1", func(l *label.Label, w *label.Words) {
			l.Chosen = 0
			l.Reach = label.Reach{Arc: 711.2, WorkingDistance: 457.2, Limited: 1066.8}
			w.Supply = "125 V DC"
			w.Where = "Battery · Relay house"
			w.ArcLength, w.KeepOut = "28 in", "Energized work: this PPE inside 28 in. Live parts exposed: qualified persons only inside 42 in."
			w.RestrictedRule = "avoid contact"
			w.Energy = "2.9 cal/cm²"
			w.GlovesNote = "for shock, where contact is possible; max. use 750 V DC"
		}),
		variant("SWG-1", func(l *label.Label, w *label.Words) {
			l.Chosen = 2
			l.Reach = label.Reach{Arc: 18288, WorkingDistance: 914.4, Limited: 1524, Restricted: 660.4}
			w.Supply = "13.8 kV AC 3-phase"
			w.Where = "Switchgear · Substation yard · fed from utility"
			w.WorkingDistance = "working distance 36 in"
			w.ArcLength, w.KeepOut = "720 in (60 ft)", "Inside 60 ft during energized work: everyone wears this PPE."
			w.LimitedLength, w.RestrictedRule = "60 in", "26 in"
			w.Energy, w.EnergyNote = "22.7 cal/cm²", "incident energy at 36 in"
			w.Gloves, w.GlovesNote = "Rubber insulating gloves Class 2 with leather protectors", "for shock, inside restricted approach; max. use 17 kV AC"
			w.Wear = []string{"arc-flash suit hood", "arc-rated jacket and pants", "arc-rated gloves", "hard hat", "safety glasses", "hearing protection", "leather footwear"}
		}),
		variant("PACKAGING-HALL-MCC-12B", func(l *label.Label, w *label.Words) {
			l.Ladder = []label.Rung{{Kit: "Daily wear", Rating: "4 cal"}, {Kit: "Arc jacket", Rating: "8 cal"}, {Kit: "Arc suit", Rating: "25 cal"}, {Kit: "Heavy arc suit", Rating: "40 cal"}}
			l.Chosen = 2
			w.Where = "Motor control center · Packaging hall, mezzanine at column C7 · fed from SWB-1 and SWB-2"
			w.Energy = "18.2 cal/cm²"
			w.Fault, w.Study = "available fault current (max.) 18.4 kA · service clearing time 50 ms", "Arc-flash and short-circuit study LC-26-03 rev 1"
			w.AppliedOn = "2026-04-02"
		}),
		variant("MCC-9", func(l *label.Label, w *label.Words) {
			l.Ladder = nil
			for i, r := range []string{"4", "8", "12", "20", "30", "40", "65", "100"} {
				l.Ladder = append(l.Ladder, label.Rung{Kit: "Set " + string(rune('A'+i)), Rating: r + " cal"})
			}
			l.Chosen = 4
			w.Energy = "27.3 cal/cm²"
		}),
	}
}

// rareSamples are labels with what most labels have not: a bound, the line of
// the maintenance switch, more fault current than the rating, a list that is
// not translated.
func rareSamples() []*label.Label {
	const then = "3.1 cal/cm², Kit A, boundary 28 in"
	var all []*label.Label
	add := func(from int, id string, change func(l *label.Label, w *label.Words)) {
		l := samples()[from]
		l.ID = id
		change(l, &l.Words[0])
		all = append(all, l)
	}
	add(0, "MCC-5", func(_ *label.Label, w *label.Words) {
		w.Maintenance = "ONLY with the maintenance switch ON: " + then
		w.Fault, w.Rated = "", "fault current: RATED 18 kA, AVAILABLE 22 kA"
	})
	add(1, "SWB-2", func(_ *label.Label, w *label.Words) {
		w.Maintenance = "NO ENERGIZED WORK unless the maintenance switch 52-M at SWG-1 is ON and its light checked: then " + then
	})
	add(1, "SWB-3", func(_ *label.Label, w *label.Words) {
		w.Energy = "above 40 cal/cm²"
		w.NoWorkWhy = w.Energy + " at 18 in; this site’s limit is 40 cal/cm²"
		w.Maintenance = "NO ENERGIZED WORK unless the maintenance switch 52-M at SWG-1 is ON and its light checked: " +
			"then 0.9 cal/cm², arc-rated clothing not required at 18 in or more, boundary 15 in"
		w.Fault, w.Rated = "", "fault current: RATED 65 kA, AVAILABLE 71.5 kA"
	})
	add(2, "LP-5", func(l *label.Label, w *label.Words) {
		l.Reach.Arc = l.Reach.WorkingDistance // the study says no more
		w.ArcLength, w.Energy = "18 in", "below 1.2 cal/cm²"
	})
	add(3, "LP-6", func(_ *label.Label, w *label.Words) { w.Energy = "below 5.1 J/cm² (1.2 cal/cm²)" })
	add(0, "MCC-6", func(_ *label.Label, w *label.Words) { w.WearNote = "list not translated:" })
	return all
}

var sampleDate = time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)

// entries are labels as they are in a job.
func entries(labels []*label.Label) []Entry {
	all := make([]Entry, len(labels))
	for i, l := range labels {
		all[i] = Entry{l.Danger, func() *label.Label { return l }}
	}
	return all
}

func sampleJob(stock string, labels []*label.Label) *Job {
	s, err := StockNamed(stock)
	if err != nil {
		panic(err)
	}
	return &Job{Stock: s, Labels: entries(labels)}
}

// manyLabels are n labels that differ in id, code and facts, as in a plant.
func manyLabels(n int) []*label.Label {
	all := make([]*label.Label, n)
	for i := range all {
		all[i] = samples()[i%8]
		all[i].ID = fmt.Sprintf("%.12s-%d", all[i].ID, i)
		all[i].Code = fmt.Sprintf("%04X-9QTD-RC4A-%04X", i, i*7)
		all[i].QR = fmt.Sprintf("HTTPS://LABELS.EXAMPLE.ORG/V/%s/%s-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KITB", all[i].Code, all[i].ID)
	}
	return all
}
