package label

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// A DANGER label says how far the energy is above the limit, how to make the
// equipment safe, and how this site tests: by danger_test, else whom to ask
// first. What cannot be fully de-energized it says so of.
func TestDangerWords(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		ask    string
		want   []string // of NoWorkDo, in English
	}{
		{"nobody to ask", func(*record.Record) {}, "", []string{"From beyond 46 in, lock out ALL sources.",
			"Treat as energized until tested; testing: ask the site electrical safety lead first."}},
		{"ask", func(*record.Record) {}, "Q. Example", []string{"From beyond 46 in, lock out ALL sources.",
			"Treat as energized until tested; testing: ask Q. Example first."}},
		{"a test of its own", func(r *record.Record) {
			r.Policy.DangerTest = assess.Words{"": {"by the meter at M-1."}, "es": {"con el medidor en M-1"}}
		}, "Q. Example", []string{"From beyond 46 in, lock out ALL sources.", "Treat as energized until tested; testing: by the meter at M-1."}},
		{"a battery", func(r *record.Record) { r.Location.Class = "battery" }, "Q. Example", []string{
			"From beyond 46 in, lock out ALL sources.", "Treat as energized until tested; testing: ask Q. Example first.",
			"Cannot be fully de-energized: ask Q. Example."}},
		{"solar strings", func(r *record.Record) {
			r.Location.Supply, r.Location.Equipment = shock.DC, "Combiner of PV field 2"
		}, "", []string{
			"From beyond 46 in, lock out ALL sources.", "Treat as energized until tested; testing: ask the site electrical safety lead first.",
			"Cannot be fully de-energized: ask the site electrical safety lead."}},
	} {
		r := noted(t, assess.US, func(r *record.Record) {
			r.Energy = assess.Governing[assess.CalCM2]{Value: 63, From: assess.FromStudy}
			r.Signal, r.Status, r.Kit = assess.Danger, assess.NoneAllowed, ""
			c.change(r)
		})
		l := Compose(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Languages: []string{"en", "es", "fr"}, Ask: c.ask})
		w := l.Words[0]
		if !slices.Equal(w.NoWorkDo, c.want) {
			t.Errorf("%s: %q, want %q", c.name, w.NoWorkDo, c.want)
		}
		if w.NoWork != "NO ENERGIZED WORK" || w.NoWorkWhy != "63.0 cal/cm² at 18 in is above this site’s limit of 40 cal/cm²" ||
			!strings.HasPrefix(w.GlovesNote, "for shock only, no arc protection; max. use 500 V") ||
			!strings.HasSuffix(w.KeepOut, ": no one while it is opened or operated energized.") {
			t.Errorf("%s: %+v", c.name, w)
		}
		if own := r.Policy.DangerTest != nil; strings.Contains(l.Words[1].NoWorkDo[1], "con el medidor en M-1") != own ||
			strings.Contains(l.Words[2].NoWorkDo[1], "by the meter at M-1") != own {
			t.Errorf("%s: %q, %q", c.name, l.Words[1].NoWorkDo, l.Words[2].NoWorkDo)
		}
	}
}

// Below 1.2 cal/cm² the label says from which distance that is so. Without a
// list of the owner's it has the one of NFPA 70E Table 130.5(G), 2024 edition,
// in each language, with its source.
func TestBelowThresholdWords(t *testing.T) {
	for _, own := range []bool{true, false} {
		r := noted(t, assess.US, func(r *record.Record) {
			below(r)
			if own {
				r.Policy.BelowThresholdWear = assess.Words{"": {"long sleeves"}, "es": {"manga larga"}, "fr": {"manches longues"}}
			}
		})
		for i, w := range inAll(r) {
			if w.WearTitle == "" || !strings.Contains(w.WearWhy, "18 in") || w.WearLead != "" || len(w.Wear) == 0 {
				t.Errorf("%s: %+v", w.Language, w)
			}
			if is := strings.Contains(w.WearNote, "130.5(G)"); is != (!own && i == 0) {
				t.Errorf("%s, the owner's list %v: note %q", w.Language, own, w.WearNote)
			}
		}
		if w := inAll(r)[2]; !strings.HasPrefix(w.WearTitle, "MOINS DE 1,2") || strings.Contains(w.WearTitle, "1.2") {
			t.Errorf("French: %q", w.WearTitle)
		}
	}
}

// What is asked for inside the outermost line: of a kit that everyone wears it
// where the arc-flash boundary is the outermost, else who may be there at all.
func TestKeepOut(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		want   string
	}{
		{"arc outermost", func(*record.Record) {}, "Inside 46 in during energized work: everyone wears this PPE."},
		{"limited outermost", func(r *record.Record) { r.BoundaryToPrint = 711.2 }, "Energized work: this PPE inside 28 in. " +
			"Live parts exposed: qualified persons only inside 42 in."},
		{"below 1.2", func(r *record.Record) { below(r); r.BoundaryToPrint = 300 }, "Inside 42 in with live parts exposed: qualified persons only."},
	} {
		if got := inAll(noted(t, assess.US, c.change))[0].KeepOut; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// The fault current of another case than the one of the energy is the largest,
// and is said to be. show_clearing_time adds that of the service's own device
// where a row has it (NEC 110.16(B), 2017 and 2020).
func TestFaultWords(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		want   string
	}{
		{"one case", func(*record.Record) {}, "available fault current 18.4 kA"},
		{"another case", func(r *record.Record) { r.Fault.Case = "maximum" }, "available fault current (max.) 18.4 kA"},
		{"not asked for", func(r *record.Record) { r.Location.Cases[0].ServiceClearing = 50 }, "available fault current 18.4 kA"},
		{"asked for", func(r *record.Record) {
			r.Location.Cases[0].ServiceClearing, r.Policy.ShowClearingTime = 50, true
		}, "available fault current 18.4 kA · service clearing time 50 ms"},
		{"asked for, and not stated", func(r *record.Record) { r.Policy.ShowClearingTime = true }, "available fault current 18.4 kA"},
	} {
		if got := inAll(noted(t, assess.US, c.change))[0].Fault; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// An owner's file decides the decimal sign, in the texts and the numbers, and
// its text under a key of an earlier version goes on serving.
func TestOwnersDecimals(t *testing.T) {
	folder := fstest.MapFS{"wording/es.toml": {Data: []byte("decimal = \",\"\nkeep_out = \"los demás a más de {length}\"\n")}}
	c, err := ReadCatalogue(folder, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := noted(t, assess.US, func(*record.Record) {})
	w := Compose(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Catalogue: c, Languages: []string{"es"}}).Words[0]
	if w.Energy != "6,6 cal/cm²" || w.Fault != "corriente de falla disponible 18,4 kA" || w.KeepOut != "los demás a más de 46 in" {
		t.Errorf("%q, %q, %q", w.Energy, w.Fault, w.KeepOut)
	}
	w = Compose(noted(t, assess.US, below), "7K3M-9QTD-RC4A-0W2E", Presentation{Catalogue: c, Languages: []string{"es"}}).Words[0]
	if !strings.HasPrefix(w.WearTitle, "MENOS DE 1,2:") {
		t.Errorf("%q", w.WearTitle)
	}
	for _, lang := range []string{"en", "fr"} {
		if got, want := c.byLanguage[lang].Decimal, english.Decimal; lang == "en" && got != want || lang == "fr" && got != "," {
			t.Errorf("%s: decimal %q", lang, got)
		}
	}
}

// An interim label says that its values may be too low and that its PPE is not
// confirmed, and no longer that work needs no arc-rated clothing. On a DANGER
// label nobody works energized anyway.
func TestInterimWords(t *testing.T) {
	look := Presentation{Languages: []string{"en"}}
	danger := func(r *record.Record) {
		r.Energy = assess.Governing[assess.CalCM2]{Value: 63, From: assess.FromStudy}
		r.Signal, r.Status, r.Kit = assess.Danger, assess.NoneAllowed, ""
	}
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		title  string
		list   bool
	}{
		{"a kit", func(*record.Record) {}, "PPE NOT CONFIRMED: ask before any work", true},
		{"below 1.2", below, "PPE NOT CONFIRMED: ask before any work", false},
		{"danger", danger, "", false},
	} {
		l := Compose(noted(t, assess.US, c.change), "7K3M-9QTD-RC4A-0W2E", look)
		l.MarkInterim(inQuestion(t), "the shift", look)
		w := l.Words[0]
		if w.WearTitle != c.title || w.WearWhy+w.WearNote != "" || (len(w.Wear) > 0) != c.list ||
			!strings.Contains(w.Doubt, "Printed values may be too low.") {
			t.Errorf("%s: %+v", c.name, w)
		}
	}
}
