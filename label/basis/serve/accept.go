package serve

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// accept is the form with which a named person takes responsibility for a finding.
var accept = acceptForm{}

type acceptForm struct{}

// acceptShown is what it shows.
type acceptShown struct {
	ID, Equipment string
	Asked         string // the id that no location has
	Findings      []assess.Finding
	Others        []assess.Finding // that nobody can accept, and that stop the label too
	fields
}

func (a acceptForm) open(h *Handler, r *http.Request, s *snapshot) http.Handler {
	f := h.fields(r)
	f.Value["at"], f.Value["finding"] = r.URL.Query().Get("at"), r.URL.Query().Get("finding")
	return a.ask(h, r, s, http.StatusOK, f)
}

func (acceptForm) ask(h *Handler, r *http.Request, s *snapshot, status int, f fields) http.Handler {
	shown := &acceptShown{}
	v := s.book.Shelf.Site
	switch p, ok := v.Place(f.id("at", v)); {
	case ok:
		shown.ID, shown.Equipment = p.ID(), p.Assessment.Location.Equipment
		for _, one := range p.Assessment.Findings {
			known := slices.ContainsFunc(shown.Findings, func(k assess.Finding) bool { return k.Code == one.Code })
			switch {
			case one.Acceptable() && !known:
				shown.Findings = append(shown.Findings, one)
			case one.AcceptedBy != "" && !known: // it can be renewed
				shown.Findings = append(shown.Findings, one)
			case one.Level == assess.Error && !one.Acceptable():
				shown.Others = append(shown.Others, one)
			}
		}
	case f.Value["at"] != "":
		shown.Asked, status = f.Value["at"], http.StatusNotFound
	}
	shown.fields = f
	return h.ask(r, s, status, &f, "Accept a finding", "accept.html", shown)
}

// acceptKeeps are the fields that the preview passes on.
var acceptKeeps = []string{"at", "finding", "by", "reason", "until"}

func (a acceptForm) send(h *Handler, r *http.Request, s *snapshot) http.Handler {
	if r.PostForm.Get("save") != "" {
		return h.once(r, func() (http.Handler, bool) { return a.save(h, r, s) })
	}
	if _, ok := h.ticket(r); !ok {
		return stale
	}
	f := h.fields(r)
	to := a.told(h, s, &f)
	if len(f.Errors) > 0 {
		return a.ask(h, r, s, http.StatusUnprocessableEntity, f)
	}
	if err := to.Check(s.book.Shelf.Site); err != nil {
		if !f.wrong(err) {
			f.Notice = err.Error()
		}
		return a.ask(h, r, s, http.StatusUnprocessableEntity, f)
	}
	return a.preview(h, r, s, http.StatusOK, to, f)
}

// told is the acceptance that was sent.
func (acceptForm) told(h *Handler, s *snapshot, f *fields) *logbook.Acceptance {
	to := &logbook.Acceptance{ID: f.id("at", s.book.Shelf.Site), Finding: f.Value["finding"], Date: h.site.Today(), By: f.by(),
		Reason: f.said("reason", "enter why the label may be printed even so", record.LongestReason)}
	if to.Finding == "" {
		f.Errors["finding"] = "choose a finding"
	}
	if f.Value["until"] != "" {
		to.Until = f.day("until")
	}
	return to
}

// preview repeats what was entered, before it is saved.
func (acceptForm) preview(h *Handler, r *http.Request, s *snapshot, status int, to *logbook.Acceptance, f fields) http.Handler {
	until := "REVIEW BY"
	if !to.Until.IsZero() {
		until = to.Until.String()
	}
	v := s.book.Shelf.Site
	finding := to.Finding
	if p, ok := v.Place(to.ID); ok {
		for i := range p.Assessment.Findings {
			if one := &p.Assessment.Findings[i]; string(one.Code) == finding {
				finding += ": " + one.Field + ": " + one.Message
				break
			}
		}
	}
	shown := &entryShown{Title: "Before you accept this finding", fields: f, Entered: repeated(
		entered{"Location", named(v, to.ID)}, entered{"Finding", finding}, entered{"Accepted by", f.who()},
		entered{"Date", to.Date.String()}, entered{"The last day on which it counts", until}, entered{"Reason", to.Reason})}
	for _, name := range acceptKeeps {
		shown.Keep = append(shown.Keep, kept{name, f.Value[name]})
	}
	return h.ask(r, s, status, &f, shown.Title, "effect.html", shown)
}

// save accepts the finding, or says why not.
func (a acceptForm) save(h *Handler, r *http.Request, s *snapshot) (answer http.Handler, carried bool) {
	f := h.fields(r)
	to := a.told(h, s, &f)
	if len(f.Errors) > 0 {
		return a.ask(h, r, s, http.StatusUnprocessableEntity, f), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return a.preview(h, r, s, status, to, f), false
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err), false
	}
	defer leave()
	accepted, err := f.desk.Accept(to)
	h.renew()
	now := h.current()
	switch {
	case now.err != nil:
		return h.unreadable(now.err), err == nil
	case err != nil && f.wrong(err):
		return a.ask(h, r, now, http.StatusUnprocessableEntity, f), false
	case err != nil:
		return h.failed(r, err), false
	}
	return h.finish(r, &done{Title: "Accepted", Lines: textOf(accepted),
		Entered: enteredOf(accepted, f.who()), next: next{Steps: accepting(now.book.Shelf.Site, accepted)}}), true
}

// enteredOf repeats an acceptance.
func enteredOf(a *logbook.Accepted, by string) []entered {
	return repeated(entered{"Finding", fmt.Sprintf("%s at %s", a.Finding, a.ID)}, entered{"Accepted by", by},
		entered{"Date", a.Date.String()}, entered{"The last day on which it counts", a.Until.String()}, entered{"Reason", a.Reason})
}

// accepting is what comes next after a finding was accepted.
func accepting(v *plant.Plant, a *logbook.Accepted) (all []step) {
	for i := range a.Stop {
		if f := &a.Stop[i]; f.Acceptable() {
			all = append(all, step{"Accept the finding " + string(f.Code) + " too.", at("accept", a.ID, "finding", string(f.Code))})
		}
	}
	return append(append(all, steps(v, a.ID)...), home(v, a.ID)...)
}

// textOf is what a command says of an acceptance, a line for each part.
func textOf(a *logbook.Accepted) (lines []string) {
	var b strings.Builder // its writes never fail
	a.Text(&b, 1<<20)     // the page breaks them
	for l := range strings.Lines(b.String()) {
		lines = append(lines, strings.TrimSpace(l))
	}
	return lines
}
