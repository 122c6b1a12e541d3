package serve

import (
	"strings"

	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// What is noted of the labels on the equipment: mounted, removed, withdrawn.

const overlay = record.Overlay // as the forms send it

var mounted = &labelForm{
	title: "Mark a label installed", page: "mounted.html",
	marks: overlayFirst,
	ready: func(_ *snapshot, a *about, p *plant.Printed, _ *fields) []Refusal {
		switch {
		case p.Withdrawn != nil:
			return []Refusal{{"The label of " + a.ID + " was withdrawn on " + p.Withdrawn.Date.String() + ".",
				"Do not mount it. If the equipment needs a label, print a new one."}}
		case string(p.ID.Code()) != a.Code:
			return []Refusal{notLast(a, p)}
		}
		return nil
	},
	do: func(h *Handler, _ *snapshot, a *about, f *fields) func() (*done, error) {
		return doing(h, record.Mounted, "Marked installed", a, f)
	},
}

var removed = &labelForm{
	title: "Note that a label is removed", page: "removed.html",
	ready: func(s *snapshot, a *about, p *plant.Printed, f *fields) []Refusal {
		if p.Withdrawn == nil && s.book.Shelf.Site.OutOfUse(a.ID) == "" && p.Overlay.IsZero() && p.Door.Covered.IsZero() {
			return []Refusal{{"The label of " + a.ID + " is in use, and no overlay was printed for it.",
				"Withdraw the label before it is removed."}}
		}
		return nil
	},
	do: func(h *Handler, _ *snapshot, a *about, f *fields) func() (*done, error) {
		return doing(h, record.Removed, "Noted", a, f)
	},
}

// overlayFirst reports whether the first thing to mount at a location is the overlay that was printed
// for its label.
func overlayFirst(v *plant.Plant, id string) bool {
	for _, t := range v.Tasks() {
		if t.ID == id {
			return t.Do == plant.Cover && t.First.Words == ""
		}
	}
	return false
}

// notLast refuses a label that was replaced since.
func notLast(a *about, p *plant.Printed) Refusal {
	return Refusal{a.Code + " is not the label printed last for " + a.ID + ": that is " + string(p.ID.Code()) + ".",
		"Open the page of that label."}
}

// doing notes what somebody did on the equipment.
func doing(h *Handler, kind record.Kind, title string, a *about, f *fields) func() (*done, error) {
	d := logbook.Doing{Kind: kind, IDs: []string{a.ID}, Day: f.day("date"), By: f.by()}
	switch f.Value["what"] {
	case overlay:
		d.Overlay = true
	case "label":
	default:
		f.Errors["what"] = "choose one"
	}
	if today := h.site.Today(); f.Errors["date"] == "" && today.Before(d.Day) {
		f.Errors["date"] = "enter today (" + today.String() + ") or an earlier day"
	}
	return func() (*done, error) {
		noted, err := f.desk.Tell(&d)
		if err != nil {
			return nil, err
		}
		lines := noted.Lines()
		for i, line := range lines {
			lines[i] = strings.ToUpper(line[:1]) + line[1:] + "."
		}
		if len(noted.Noted) == 0 {
			lines = append(lines, "Nothing was added to the ledger.")
		}
		return &done{Title: title, Lines: lines}, nil
	}
}

var withdraw = &labelForm{
	title: "Withdraw a label", page: "withdraw.html",
	ready: func(_ *snapshot, a *about, p *plant.Printed, _ *fields) []Refusal {
		switch {
		case p.Withdrawn != nil:
			return []Refusal{{"The label of " + a.ID + " was already withdrawn on " + p.Withdrawn.Date.String() + ": " +
				p.Withdrawn.Reason, "Remove it from the equipment, if it is still there."}}
		case string(p.ID.Code()) != a.Code:
			return []Refusal{notLast(a, p)}
		}
		return nil
	},
	do: func(h *Handler, _ *snapshot, a *about, f *fields) func() (*done, error) {
		d := logbook.Withdrawal{ID: a.ID, By: f.by(),
			Reason: f.said("reason", "enter why the label is withdrawn", record.LongestReason)}
		return func() (*done, error) {
			noted, err := f.desk.Withdraw(&d)
			if err != nil {
				return nil, err
			}
			return &done{Title: "Withdrawn", Lines: []string{noted.Words() + " because " + noted.Reason +
				". Confirm that the equipment needs no label."}}, nil
		}
	},
}
