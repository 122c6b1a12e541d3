package serve

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// mostOffered is how many ids the form offers; any other can be typed.
const mostOffered = 2000

// changeForm is the form with which a planner logs a change.
type changeForm struct {
	IDs   []string
	Kinds []assess.ChangeKind
	fields
}

// changeShown is what a change does to the labels, before or after it is saved.
type changeShown struct {
	Effect *logbook.Effect
	Lines  []string // as the command words it
	Seen   string   // identifies the effect
	Keep   []string // the fields that the form passes on when it is saved
	fields
}

var errOther = errors.New("the effect differs from what was shown")

func (h *Handler) openChange(r *http.Request, s *snapshot) http.Handler {
	f := h.fields(r)
	f.Value["date"] = s.book.Shelf.Site.Today.String()
	f.Value["at"] = r.URL.Query().Get("at")
	return h.askChange(r, s, http.StatusOK, f)
}

func (h *Handler) sendChange(r *http.Request, s *snapshot) http.Handler {
	if r.PostForm.Get("save") != "" {
		return h.once(r, func() (http.Handler, bool) { return h.saveChange(r, s) })
	}
	if _, ok := h.ticket(r); !ok {
		return stale
	}
	return h.previewChange(r, s, "")
}

func (h *Handler) askChange(r *http.Request, s *snapshot, status int, f fields) http.Handler {
	form := &changeForm{Kinds: assess.ChangeKinds, fields: f}
	places := s.book.Shelf.Site.Places
	for i := range min(len(places), mostOffered) {
		form.IDs = append(form.IDs, places[i].ID())
	}
	return h.ask(r, s, status, &f, "Log a change", "change.html", form)
}

// told is the change that was entered in a form. Plain errors are noted next to
// their fields, all at once; the log finds the others.
func told(f *fields, v *plant.Plant) *logbook.Change {
	c := &logbook.Change{At: f.Value["at"], Kind: f.Value["kind"], Note: f.Value["note"]}
	if _, ok := v.Place(c.At); !ok && !slices.Contains(v.Site.Policy.Former, c.At) {
		f.wrong(&near.UnknownID{IDs: []string{c.At}, Known: v.Site.IDs()})
	}
	_, err := site.ParseKind(c.Kind)
	if err != nil {
		f.Errors["kind"] = err.Error()
	}
	if c.Date, err = assess.ParseDate(f.Value["date"]); err != nil {
		f.Errors["date"] = err.Error()
	}
	c.By = f.said("by", "enter your name", record.LongestName)
	one := func(name string) []string {
		text := f.Value[name]
		if text == "" {
			return nil
		}
		if strings.Contains(text, "=") { // it would name another location
			f.Errors[name] = "expected only the value"
		}
		return []string{text}
	}
	c.FaultKA, c.ClearMS, c.ClearReducedMS = one("fault_ka"), one("clear_ms"), one("clear_reduced_ms")
	c.Curve, c.Case = one("curve"), f.Value["case"]
	return c
}

// newFields are the fields of new values that have a place for an error.
var newFields = []string{"fault_ka", "clear_ms", "clear_reduced_ms", "curve"}

// wrong puts an error of the log next to its field, and reports whether the
// form was the cause.
func (f *fields) wrong(err error) bool {
	var part *logbook.WrongError
	var unknown *near.UnknownID
	switch {
	case errors.As(err, &part):
		name, text := part.Part, part.Err.Error()
		if told := (*site.ToldError)(nil); errors.As(part.Err, &told) {
			text = told.Alone()
		}
		if value, ok := strings.CutPrefix(name, "new-"); ok {
			if name = strings.ReplaceAll(value, "-", "_"); !slices.Contains(newFields, name) {
				name = "new"
			}
		}
		f.Errors[name] = text
	case errors.As(err, &unknown) && unknown.IDs[0] == "":
		f.Errors["at"] = "name a location"
	case errors.As(err, &unknown):
		unknown.Flag = "" // the field says which
		f.Errors["at"] = unknown.Error()
	default:
		return false
	}
	return true
}

// previewChange shows what the change would do to the labels.
func (h *Handler) previewChange(r *http.Request, s *snapshot, notice string) http.Handler {
	f := h.fields(r)
	f.Notice = notice
	c := told(&f, s.book.Shelf.Site)
	if len(f.Errors) > 0 {
		return h.askChange(r, s, http.StatusUnprocessableEntity, f)
	}
	return h.showEffect(r, s, http.StatusOK, c, f)
}

// showEffect shows what a change would do, when it is its turn: the whole plant is judged again for it.
func (h *Handler) showEffect(r *http.Request, s *snapshot, status int, c *logbook.Change, f fields) http.Handler {
	leave, err := h.previews.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err)
	}
	effect, err := h.site.Desk.Preview(s.book.Shelf.Site, c)
	leave()
	if err != nil {
		return h.wrongChange(r, s, f, err)
	}
	return h.showChange(r, s, status, effect, f)
}

// wrongChange shows the form again where the log refuses the change.
func (h *Handler) wrongChange(r *http.Request, s *snapshot, f fields, err error) http.Handler {
	if f.wrong(err) {
		return h.askChange(r, s, http.StatusUnprocessableEntity, f)
	}
	return h.failed(r, err)
}

func (h *Handler) showChange(r *http.Request, s *snapshot, status int, e *logbook.Effect, f fields) http.Handler {
	shown := &changeShown{Effect: e, Lines: lines(e), Seen: seen(e), fields: f}
	shown.Keep = []string{"at", "kind", "date", "by", "note", "fault_ka", "clear_ms", "clear_reduced_ms", "curve", "case"}
	return h.ask(r, s, status, &f, "Before you save this change", "effect.html", shown)
}

// saveChange logs the change if its effect is still the one that was shown, or
// says why not.
func (h *Handler) saveChange(r *http.Request, s *snapshot) (answer http.Handler, done bool) {
	f := h.fields(r)
	c := told(&f, s.book.Shelf.Site)
	if len(f.Errors) > 0 {
		return h.askChange(r, s, http.StatusUnprocessableEntity, f), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return h.showEffect(r, s, status, c, f), false
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err), false
	}
	defer leave()
	effect, err := h.site.Desk.Save(c, func(e *logbook.Effect) error {
		if seen(e) != f.Value["seen"] {
			return errOther
		}
		return nil
	})
	h.renew()
	now := h.current()
	switch {
	case errors.Is(err, errOther):
		return h.previewChange(r, now, "The site has changed since this was shown. Nothing was saved: check again."), false
	case err != nil:
		return h.wrongChange(r, s, f, err), false
	case now.err != nil:
		return h.unreadable(now.err), false
	}
	shown := &changeShown{Effect: effect, Lines: lines(effect)}
	return h.framed(r, now, http.StatusOK, "The change is logged", "saved.html", shown), true
}

// lines is an effect in the words of the command.
func lines(e *logbook.Effect) []string {
	const wide = 1 << 20  // one line each: the page breaks them
	var b strings.Builder // its writes never fail
	e.Text(&b, wide)
	var all []string
	for l := range strings.Lines(b.String()) {
		all = append(all, strings.TrimSpace(l))
	}
	return all
}

// seen identifies an effect, so that what is saved is what was shown.
func seen(e *logbook.Effect) string {
	data, _ := json.Marshal(e) // only texts and numbers, so it cannot fail
	return fmt.Sprintf("%x", sha256.Sum256(data))
}
