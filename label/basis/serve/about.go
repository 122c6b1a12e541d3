package serve

import (
	"errors"
	"net/http"
	"strings"

	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// about is the label that a form is about.
type about struct {
	Asked         string // the code or id for which there is no label
	Why           string // why what was asked for is not shown
	Code          string // "" for no label
	ID, Equipment string
	Verdict       basis.Verdict
	Refused       []Refusal // why the form is not offered
	Steps         []step    // what can be done instead

	view *basis.View
}

// about finds the label that a person names by a code or the id of a location. status is that of
// the answer, err why nothing can be said.
func (s *snapshot) about(name string) (a *about, status int, err error) {
	if name = strings.TrimSpace(name); name == "" {
		return &about{}, http.StatusOK, nil
	}
	v, err := s.book.Shelf.Find(name)
	if id := idOf(s.book.Shelf.Site, name); id != name && errors.Is(err, basis.ErrNotPrinted) {
		name = id
		v, err = s.book.Shelf.Find(name)
	}
	both := (*record.AmbiguousError)(nil)
	switch {
	case err == nil:
		row := v.Record.Location
		return &about{Code: string(v.ID.Code()), ID: row.ID, Equipment: row.Equipment, Verdict: v.Verdict(), view: v}, http.StatusOK, nil
	case errors.Is(err, record.ErrNotFound), errors.Is(err, basis.ErrNotPrinted):
		a = &about{Asked: name}
		if other := (*basis.ElsewhereError)(nil); errors.As(err, &other) {
			a.Why = other.Error()
		}
		return a, http.StatusNotFound, nil
	case errors.As(err, &both):
		return &about{Why: both.Error()}, http.StatusConflict, nil
	}
	return nil, http.StatusOK, err
}

// Offered reports whether there is a form to fill in.
func (a *about) Offered() bool { return a.Code != "" && a.Refused == nil }

// Named is the label as a form passes it on: a code, whatever a location is called.
func (a *about) Named() string { return "/V/" + a.Code }

// labelForm is a form about the label printed last for a location.
type labelForm struct {
	title, page string // of the page, and its template
	// marks reports whether a new form about a location marks its overlay, not the label; nil for never.
	marks func(v *plant.Plant, id string) bool
	// ready fills in what the form shows, and says why it is not offered.
	ready func(s *snapshot, a *about, p *plant.Printed, f *fields) []Refusal
	// do reads what was sent, and returns what carries it out; nil where something is wrong with it.
	do func(h *Handler, s *snapshot, a *about, f *fields) func() (*done, error)
}

// labelShown is what its template shows.
type labelShown struct {
	*about
	Printed *plant.Printed
	fields
}

// Covers reports whether an overlay was printed for the label, or is noted on the equipment.
func (l *labelShown) Covers() bool {
	return l.Printed != nil && !(l.Printed.Overlay.IsZero() && l.Printed.Door.Covered.IsZero())
}

// Holds reports whether the label holds.
func (l *labelShown) Holds() bool { return l.Printed != nil && l.Printed.Holds() }

func (l *labelForm) open(h *Handler, r *http.Request, s *snapshot) http.Handler {
	f := h.fields(r)
	f.Value["date"] = s.book.Shelf.Site.Today.String()
	f.Value["what"] = r.URL.Query().Get("what")
	name := r.URL.Query().Get("at")
	if a, _, err := s.about(name); err == nil && a.Code != "" && l.marks != nil && f.Value["what"] == "" && l.marks(s.book.Shelf.Site, a.ID) {
		f.Value["what"] = overlay
	}
	return l.ask(h, r, s, http.StatusOK, name, f)
}

// ask shows the form, or why it is not offered.
func (l *labelForm) ask(h *Handler, r *http.Request, s *snapshot, status int, name string, f fields) http.Handler {
	shown, found, err := l.find(s, name, &f)
	switch {
	case err != nil:
		return h.page(status, nil, err)
	case found != http.StatusOK:
		status = found
	case shown.Refused != nil && !reading(r):
		status = http.StatusConflict
	}
	return h.ask(r, s, status, &f, l.title, l.page, shown)
}

func (l *labelForm) find(s *snapshot, name string, f *fields) (*labelShown, int, error) {
	a, status, err := s.about(name)
	if err != nil {
		return nil, status, err
	}
	shown := &labelShown{about: a}
	if a.Code != "" {
		v := s.book.Shelf.Site
		if shown.Printed = printedOf(v, a.ID); shown.Printed == nil {
			a.Refused = []Refusal{{"Nothing but a fault current marking was printed for " + a.ID + ".", "Print its label first."}}
		} else {
			a.Refused = l.ready(s, a, shown.Printed, f)
		}
		if a.Refused != nil {
			a.Steps = append(steps(v, a.ID), home(v, a.ID)...)
		}
	}
	shown.fields = *f
	return shown, status, nil
}

func (l *labelForm) send(h *Handler, r *http.Request, s *snapshot) http.Handler {
	return h.once(r, func() (http.Handler, bool) {
		f := h.fields(r)
		name := f.Value["at"]
		shown, _, err := l.find(s, name, &f)
		if err != nil || shown.Code == "" || shown.Refused != nil {
			return l.ask(h, r, s, http.StatusUnprocessableEntity, name, f), false
		}
		carry := l.do(h, s, shown.about, &f)
		if len(f.Errors) > 0 {
			return l.ask(h, r, s, http.StatusUnprocessableEntity, name, f), false
		}
		if status := h.allowed(r, &f); status != http.StatusOK {
			return l.ask(h, r, s, status, name, f), false
		}
		leave, err := h.writes.take(r.Context(), h.from(r))
		if err != nil {
			return h.busy(r, err), false
		}
		defer leave()
		one, err := carry()
		h.renew()
		now := h.current()
		switch {
		case err == nil && now.err == nil:
			v := now.book.Shelf.Site
			one.Steps = append(append(one.Steps, steps(v, shown.ID)...), home(v, shown.ID)...)
			return h.finish(r, one), true
		case err == nil:
			return h.finish(r, one), true // the page says that the site cannot be read
		case now.err != nil:
			return h.unreadable(now.err), false
		}
		again, _, found := l.find(now, name, &f)
		if found == nil && again.Refused != nil || f.wrong(err) { // somebody else did it meanwhile
			return l.ask(h, r, now, http.StatusUnprocessableEntity, name, f), false
		}
		return h.failed(r, err), false
	})
}
