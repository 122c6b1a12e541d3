package layout

import (
	"fmt"
	"time"

	"vouchmark/label"
)

// Invented labels, one for each variant. No place or plant of these names is
// meant.

var ladder4 = []label.Rung{{Kit: "Kit A", Rating: "4"}, {Kit: "Kit B", Rating: "8"}, {Kit: "Kit C", Rating: "25"}, {Kit: "Kit D", Rating: "40"}}

// sample is the label from which the variants are made: 480 V, kit B of four.
func sample() *label.Label {
	return &label.Label{
		ID: "MCC-4", Area: "Packaging", Code: "7K3M-9QTD-RC4A-0W2E",
		QR:     "HTTPS://LABELS.EXAMPLE.ORG/V/7K3M-9QTD-RC4A-0W2E/MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KITB",
		Ladder: ladder4, Chosen: 1,
		Reach: label.Reach{Arc: 1168.4, WorkingDistance: 457.2, Limited: 1066.8, Restricted: 304.8},
		Words: []label.Words{{
			Language: "en", Signal: "WARNING", Hazard: "ELECTRIC ARC AND SHOCK",
			Message:         []string{"Can burn or kill.", "De-energize first.", "Qualified persons only."},
			Supply:          "480 V AC 3-phase",
			Where:           "Motor control center · Packaging hall · fed from SWB-1",
			WorkingDistance: "working distance 18 in",
			Arc:             "ARC-FLASH BOUNDARY", ArcLength: "3 ft 10 in",
			Limited: "LIMITED APPROACH", LimitedLength: "3 ft 6 in",
			Restricted: "RESTRICTED APPROACH", RestrictedRule: "12 in",
			ToScale: "to scale", KeepOut: "keep others beyond 3 ft 10 in",
			Energy: "6.6 cal/cm²", EnergyNote: "incident energy at 18 in",
			Wear:   []string{"arc-rated shirt + trousers", "arc-rated face shield + balaclava", "hard hat", "safety glasses", "hearing protection", "heavy-duty leather gloves", "leather footwear"},
			Gloves: "Rubber gloves class 00 + leather protectors", GlovesNote: "inside restricted approach; to 500 V AC",
			Dates:   "Study 2026-03-14 · REVIEW BY 2031-03-14",
			Source:  "LC-26-03 rev 1 · fault current 18.4 kA",
			Applied: "applied", Scan: "scan for the basis",
		}},
	}
}

// variant is sample with its id, and what change makes of it.
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
			w.Message = []string{"Will burn or kill.", "No energized work on this equipment."}
			w.Where = "Switchboard · Main electrical room · fed from T-1"
			w.ArcLength, w.KeepOut = "13 ft 5 in", "keep others beyond 13 ft 5 in"
			w.Energy, w.EnergyNote = "63 cal/cm²", "incident energy at 18 in" // the note gives way to the reason
			w.Wear = nil
			w.NoKit = "NO KIT IS ALLOWED HERE"
			w.NoKitWhy = []string{"63 cal/cm² at 18 in. This site’s limit is 40 cal/cm².", "De-energize and verify from outside 13 ft 5 in."}
		}),
		variant("LP-3", func(l *label.Label, w *label.Words) {
			l.Chosen = -1
			l.Reach.Arc = 431.8
			w.Supply = "208 V AC 3-phase"
			w.Where = "Panelboard · Offices, ground floor · fed from T-5"
			w.ArcLength, w.KeepOut = "17 in", "keep others beyond 3 ft 6 in"
			w.Energy, w.EnergyNote = "1.1 cal/cm²", "incident energy at 18 in"
			w.WearTitle, w.WearWhy = "No arc-rated kit is demanded", "Below 1.2 cal/cm² at 18 in or more. Closer, it is more."
			w.Wear = []string{"long-sleeved shirt and trousers of untreated cotton", "safety glasses", "hearing protection", "leather gloves"}
			l.Reach.Arc = 431.8
		}),
		variant("LP-4", func(l *label.Label, w *label.Words) {
			l.Chosen = -1
			l.Reach = label.Reach{Arc: 300, WorkingDistance: 457.2, Limited: 1066.8}
			w.Supply = "120 V AC 1-phase"
			w.Where = "Panelboard · Guard house · fed from LP-3"
			w.ArcLength, w.KeepOut = "12 in", "keep others beyond 3 ft 6 in"
			w.RestrictedRule = "avoid contact"
			w.Energy, w.EnergyNote = "0.4 cal/cm²", "incident energy at 18 in"
			w.WearTitle, w.WearWhy = "No arc-rated kit is demanded", "Below 1.2 cal/cm² at 18 in or more. Closer, it is more."
			w.Wear = nil
		}),
		variant("BAT-1", func(l *label.Label, w *label.Words) {
			l.Chosen = 0
			l.Reach = label.Reach{Arc: 711.2, WorkingDistance: 457.2, Limited: 1066.8}
			w.Supply = "125 V DC"
			w.Where = "Battery · Relay house"
			w.ArcLength, w.KeepOut = "2 ft 4 in", "keep others beyond 3 ft 6 in"
			w.RestrictedRule = "avoid contact"
			w.Energy = "2.9 cal/cm²"
			w.GlovesNote = "inside restricted approach; to 750 V DC"
		}),
		variant("SWG-1", func(l *label.Label, w *label.Words) {
			l.Chosen = 2
			l.Reach = label.Reach{Arc: 18288, WorkingDistance: 914.4, Limited: 1524, Restricted: 660.4}
			w.Supply = "13.8 kV AC 3-phase"
			w.Where = "Switchgear · Substation yard · fed from utility"
			w.WorkingDistance = "working distance 36 in"
			w.ArcLength, w.KeepOut = "60 ft", "keep others beyond 60 ft"
			w.LimitedLength, w.RestrictedRule = "5 ft", "26 in"
			w.Energy, w.EnergyNote = "22.7 cal/cm²", "incident energy at 36 in"
			w.Gloves, w.GlovesNote = "Rubber gloves class 2 + leather protectors", "inside restricted approach; to 17000 V AC"
			w.Wear = []string{"arc-flash suit hood", "arc-rated jacket + trousers", "arc-rated gloves", "hard hat", "safety glasses", "hearing protection", "leather footwear"}
		}),
		variant("PACKAGING-HALL-MCC-12B", func(l *label.Label, w *label.Words) {
			l.Ladder = []label.Rung{{Kit: "Daily wear", Rating: "4"}, {Kit: "Arc jacket", Rating: "8"}, {Kit: "Arc suit", Rating: "25"}, {Kit: "Heavy arc suit", Rating: "40"}}
			l.Chosen = 2
			w.Where = "Motor control center · Packaging hall, mezzanine at column C7 · fed from SWB-1 and SWB-2"
			w.Energy = "18.2 cal/cm²"
			w.Source = "Arc-flash and short-circuit study LC-26-03 rev 1 · fault current 18.4 kA"
			w.AppliedOn = "2026-04-02"
		}),
		variant("MCC-9", func(l *label.Label, w *label.Words) {
			l.Ladder = nil
			for i, r := range []string{"4", "8", "12", "20", "30", "40", "65", "100"} {
				l.Ladder = append(l.Ladder, label.Rung{Kit: "Set " + string(rune('A'+i)), Rating: r})
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
		w.Source, w.Rated = "LC-26-03 rev 1", "fault current: RATED 18 kA, AVAILABLE 22 kA"
	})
	add(1, "SWB-2", func(_ *label.Label, w *label.Words) {
		w.Maintenance = "NO ENERGIZED WORK unless the maintenance switch 52-M at SWG-1 is ON and its light checked: then " + then
	})
	add(1, "SWB-3", func(_ *label.Label, w *label.Words) {
		w.Energy = "above 40 cal/cm²"
		w.NoKitWhy[0] = w.Energy + " at 18 in. This site’s limit is 40 cal/cm²."
		w.Maintenance = "NO ENERGIZED WORK unless the maintenance switch 52-M at SWG-1 is ON and its light checked: " +
			"then 0.9 cal/cm², arc-rated clothing not required at 18 in or more, boundary 15 in"
		w.Source, w.Rated = "LC-26-03 rev 1", "fault current: RATED 65 kA, AVAILABLE 71.5 kA"
	})
	add(2, "LP-5", func(l *label.Label, w *label.Words) {
		l.Reach.Arc = l.Reach.WorkingDistance // the study says no more
		w.ArcLength, w.Energy = "18 in", "below 1.2 cal/cm²"
	})
	add(3, "LP-6", func(_ *label.Label, w *label.Words) { w.Energy = "below 6 J/cm² (1.2 cal/cm²)" })
	add(0, "MCC-6", func(_ *label.Label, w *label.Words) { w.WearNote = "list not translated:" })
	return all
}

var sampleDate = time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)

func sampleJob(stock string, labels []*label.Label) *Job {
	s, err := StockNamed(stock)
	if err != nil {
		panic(err)
	}
	return &Job{Stock: s, Labels: labels}
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
