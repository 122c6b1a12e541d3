package commands

import (
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// viewOf is view for what concerns only some labels, named by ids, codes or the texts of QR
// codes: only what decides about them is judged. Without names it is view.
func (e *Env) viewOf(names ...string) (*plant.Plant, folder, error) {
	f := e.folder()
	if f.err != nil || len(names) == 0 {
		return e.view()
	}
	store := e.store()
	store.Progress = e.progress.of("reading record") // of labels that an older version printed
	type read struct {
		*record.Ledger
		joined []record.Joined
		err    error
	}
	ledger := make(chan read, 1)
	go func() { // beside locations.csv
		l, err := store.Ledger()
		if err != nil {
			l = &record.Ledger{}
		}
		ledger <- read{l, store.Joined(l), err}
	}()
	var l read
	var of *wanted
	s, err := site.ReadNear(f.fs, f.options, func(all []assess.Outline, index map[string]int, log *assess.Log, must []string) []bool {
		l = <-ledger
		if of = resolve(store, l.Ledger, e.today, index, names); of == nil {
			return slices.Repeat([]bool{true}, len(all))
		}
		counts := plant.Join(log, l.Ledger.Notes()).Log
		return plant.Region(all, index, l.joined, &counts, slices.Concat(of.ids, of.noted, must))
	})
	switch {
	case err != nil:
		return nil, f, err
	case l.Ledger == nil || l.err != nil:
		return e.view() // it says what is wrong
	}
	var labels, only []string
	if of != nil {
		only, labels = of.ids, slices.Concat(of.ids, s.IDs(), s.Policy.Former)
	}
	v, err := plant.New(s, store.HistoryOf(l.Ledger, e.today, labels...), e.today, command, only...)
	if err != nil {
		return nil, f, err
	}
	v.Keys, err = e.keys("")
	return v, f, err
}

// wanted is what a person named: locations with a label, and the places that the records of
// these labels note.
type wanted struct{ ids, noted []string }

// resolve is what the names stand for; nil if one of them needs the whole site: it is not known, or
// no label was printed for it.
func resolve(store *record.Store, l *record.Ledger, today assess.Date, index map[string]int, names []string) *wanted {
	w := &wanted{}
	for _, name := range names {
		_, listed := index[name]
		listed = listed || l.Labels(name)
		switch scanned, err := label.ParseQR(name); {
		case listed && err == nil && !scanned.Path && l.LocationOf(scanned.Code) != "":
			return nil // it is a code as well
		case listed && !scanned.Path || err != nil && !strings.Contains(name, ","):
			w.ids = append(w.ids, name)
		case err != nil:
			for id := range strings.SplitSeq(name, ",") {
				w.ids = append(w.ids, strings.TrimSpace(id))
			}
		default:
			id := l.LocationOf(scanned.Code)
			if id == "" {
				return nil
			}
			w.ids = append(w.ids, id)
		}
	}
	printed := store.Replay(l, today, record.Locations(w.ids...)).Labels
	for _, id := range w.ids {
		last := printed[id]
		if last == nil {
			return nil
		}
		if r, err := store.Load(last.ID); err == nil { // else its label is judged as one without a record
			for _, f := range r.Feeds {
				w.noted = append(w.noted, f.ID)
			}
		}
	}
	return w
}
