package serve

import (
	"strings"

	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// What is noted of the equipment without a script: of one location at a time.

var looking = &labelForm{
	title: "Note what is on the equipment", page: "seen.html",
	ready: func(_ *snapshot, _ *about, _ *plant.Printed, _ *fields) []Refusal { return nil },
	do: func(h *Handler, s *snapshot, a *about, f *fields) func() (*done, error) {
		look := logbook.Look{At: a.ID, Read: f.Value["read"], Found: record.Found(f.Value["found"]), Day: f.day("date")}
		by := f.by()
		if look.Found == record.FoundRight && look.Read == "" {
			look.Read = a.Code // as the form named it
		}
		switch {
		case look.Found == "" && look.Read == "":
			f.Errors["found"] = "choose one, or enter the code on the label"
		case look.Read != "" && look.Found != record.FoundDamaged:
			look.Found = "" // it follows from the code
		}
		if today := h.site.Today(); f.Errors["date"] == "" && today.Before(look.Day) {
			f.Errors["date"] = "enter today (" + today.String() + ") or an earlier day"
		}
		return func() (*done, error) {
			all, err := f.desk.See(s.book.Shelf.Site, []logbook.Look{look}, by)
			if err != nil {
				return nil, err
			}
			one := &all[0]
			if one.Err != nil {
				return nil, &logbook.WrongError{Part: "found", Err: one.Err}
			}
			text := strings.ToUpper(one.Says[:1]) + one.Says[1:] + "."
			if one.Do != "" {
				text += " " + strings.ToUpper(one.Do[:1]) + one.Do[1:] + "."
			}
			lines := []string{text}
			if one.Already {
				lines = append(lines, "This was noted before. Nothing was added to the ledger.")
			}
			d := &done{Title: "Noted", Lines: lines}
			d.Steps = []step{{"Go on with the round.", "round/"}}
			return d, nil
		}
	},
}

// Founds are the choices of the form.
func (l *labelShown) Founds() []found {
	return []found{{string(record.FoundRight), "the right label, " + l.Code}, {string(record.FoundDamaged), "the right label, but it is damaged"},
		{string(record.FoundMissing), "no label"}, {string(record.FoundOld), "an older label of this equipment"},
		{string(record.FoundOther), "the label of other equipment"}, {string(record.FoundForeign), "a label of another site"}}
}

// found is one of the choices.
type found struct{ Value, Words string }
