package serve

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"vouchmark/label/logbook"
	"vouchmark/label/plant"
)

// What a person adds to the log of changes: what it does to the labels is shown before it is saved.

// entryForm is a form for an entry of one kind.
type entryForm struct {
	title, before, saved string   // of the form, of the preview, and of what was saved
	page                 string   // the template
	keep                 []string // the fields that the preview passes on
	// fresh fills in the fields of a new form.
	fresh func(r *http.Request, s *snapshot, f *fields)
	// data is what the template shows.
	data func(s *snapshot, f *fields) any
	// told is the entry that was sent. Plain errors are noted next to their fields, all at once;
	// the log finds the others.
	told func(f *fields, v *plant.Plant) logbook.Entry
	// entered repeats what was sent, once its fields are told.
	entered func(f *fields, v *plant.Plant) []entered
	// extent adds to what was saved how far it goes, by the site before and after; nil for nothing.
	extent func(f *fields, before, after *plant.Plant) string
}

// entryShown is what an entry does to the labels, before it is saved.
type entryShown struct {
	Title   string
	Entered []entered
	Later   *later // nil where the entry counts from today
	Moved   *moved
	Seen    string // identifies the effect
	Keep    []kept // the fields that the form passes on when it is saved
	fields
}

// kept is a field that a form passes on.
type kept struct{ Name, Value string }

var errOther = errors.New("the effect differs from what was shown")

func (e *entryForm) open(h *Handler, r *http.Request, s *snapshot) http.Handler {
	f := h.fields(r)
	f.Value["date"] = s.book.Shelf.Site.Today.String()
	e.fresh(r, s, &f)
	return e.ask(h, r, s, http.StatusOK, f)
}

func (e *entryForm) send(h *Handler, r *http.Request, s *snapshot) http.Handler {
	if r.PostForm.Get("save") != "" {
		return h.once(r, func() (http.Handler, bool) { return e.save(h, r, s) })
	}
	if _, ok := h.ticket(r); !ok {
		return stale
	}
	return e.preview(h, r, s, "")
}

func (e *entryForm) ask(h *Handler, r *http.Request, s *snapshot, status int, f fields) http.Handler {
	return h.ask(r, s, status, &f, e.title, e.page, e.data(s, &f))
}

// preview shows what the entry would do to the labels.
func (e *entryForm) preview(h *Handler, r *http.Request, s *snapshot, notice string) http.Handler {
	f := h.fields(r)
	f.Notice = notice
	entry := e.told(&f, s.book.Shelf.Site)
	if len(f.Errors) > 0 {
		return e.ask(h, r, s, http.StatusUnprocessableEntity, f)
	}
	return e.show(h, r, s, http.StatusOK, entry, f)
}

// show shows what an entry would do, when it is its turn: the whole plant is judged again for it.
func (e *entryForm) show(h *Handler, r *http.Request, s *snapshot, status int, entry logbook.Entry, f fields) http.Handler {
	leave, err := h.previews.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err)
	}
	v := s.book.Shelf.Site
	effect, err := h.site.Desk.Preview(v, entry)
	var then *later
	if err == nil {
		then, err = h.later(v, entry, effect)
	}
	leave()
	if err != nil {
		return e.wrong(h, r, s, f, err)
	}
	shown := &entryShown{Title: e.before, Entered: e.entered(&f, v), Later: then, Moved: newMoved(effect, v, ""), Seen: seen(effect), fields: f}
	for _, name := range e.keep {
		for _, value := range f.Many[name] {
			shown.Keep = append(shown.Keep, kept{name, value})
		}
	}
	return h.ask(r, s, status, &f, e.before, "effect.html", shown)
}

// wrong shows the form again where the log refuses the entry.
func (e *entryForm) wrong(h *Handler, r *http.Request, s *snapshot, f fields, err error) http.Handler {
	if f.wrong(err) {
		return e.ask(h, r, s, http.StatusUnprocessableEntity, f)
	}
	return h.failed(r, err)
}

// save logs the entry if its effect is still the one that was shown, or
// says why not.
func (e *entryForm) save(h *Handler, r *http.Request, s *snapshot) (answer http.Handler, carried bool) {
	f := h.fields(r)
	entry := e.told(&f, s.book.Shelf.Site)
	if len(f.Errors) > 0 {
		return e.ask(h, r, s, http.StatusUnprocessableEntity, f), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return e.show(h, r, s, status, entry, f), false
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err), false
	}
	defer leave()
	effect, err := f.desk.Save(entry, func(now *logbook.Effect) error {
		if seen(now) != f.Value["seen"] {
			return errOther
		}
		return nil
	})
	h.renew()
	now := h.current()
	switch {
	case now.err != nil:
		return h.unreadable(now.err), err == nil
	case errors.Is(err, errOther):
		return e.preview(h, r, now, "The site has changed since this was shown. Nothing was saved: check again."), false
	case err != nil:
		return e.wrong(h, r, now, f, err), false
	}
	before, v := s.book.Shelf.Site, now.book.Shelf.Site
	one := &done{Title: e.saved, Moved: newMoved(effect, v, "../../"), next: after(v, effect)}
	if e.extent != nil {
		one.Title += e.extent(&f, before, v)
	}
	return h.finish(r, one), true
}

// mostSteps is how many labels a page leads to at once, and those to be covered besides.
const mostSteps = 20

// after is what comes next after an entry: the labels to be covered, those that hold again, and
// those whose equipment must be marked.
func after(v *plant.Plant, e *logbook.Effect) next {
	again := e.Again()
	ids := slices.Clone(again)
	for i := range e.Moved {
		if e.Moved[i].TooLow {
			ids = append(ids, e.Moved[i].ID)
		}
	}
	all := nextOf(v, ids, func(id string) []step {
		todo := steps(v, id)
		if !slices.Contains(again, id) {
			return todo
		}
		for i := range todo {
			todo[i].Text = id + " holds again. " + todo[i].Text
		}
		if todo == nil {
			for _, to := range home(v, id) {
				todo = append(todo, step{id + " holds again: its page.", to.Href})
			}
		}
		return todo
	})
	if n := len(e.Doubtful()); n > 0 {
		all.Steps = slices.Insert(all.Steps, 0, step{"Print overlays for the labels that do not hold.", "print/?what=overlays"})
	}
	return all
}

// seen identifies an effect, so that what is saved is what was shown.
func seen(e *logbook.Effect) string {
	data, _ := json.Marshal(e) // only texts and numbers, so it cannot fail
	return fmt.Sprintf("%x", sha256.Sum256(data))
}
