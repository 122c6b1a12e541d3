package serve

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// mostOffered is how many ids the form offers; others are typed.
const mostOffered = 2000

// changeForm is the form with which a planner logs a change.
type changeForm struct {
	IDs   []string
	Kinds []string
	fields
}

// changeShown is what a change makes of the labels, before or after it is
// saved.
type changeShown struct {
	Effect *logbook.Effect
	Lines  []string // as the command says it
	Seen   string   // names the effect
	Keep   []string // the fields that go on to the saved form
	fields
}

var errOther = errors.New("the effect is another than was shown")

func (h *Handler) openChange(w http.ResponseWriter, r *http.Request, s *snapshot) {
	f := h.fields(r)
	f.Value["date"] = s.shelf.Site.Today.String()
	f.Value["at"] = r.URL.Query().Get("at")
	h.askChange(w, r, s, http.StatusOK, f)
}

func (h *Handler) sendChange(w http.ResponseWriter, r *http.Request, s *snapshot) {
	switch {
	case !h.form(w, r):
	case r.PostForm.Get("save") != "":
		h.once(w, r, func() *answer { return h.saveChange(w, r, s) })
	case h.tickets.find(r.PostForm.Get("ticket"), h.now()) == nil:
		h.stale(w)
	default:
		h.previewChange(w, r, s, "")
	}
}

func (h *Handler) askChange(w http.ResponseWriter, r *http.Request, s *snapshot, status int, f fields) {
	form := &changeForm{fields: f}
	for i := range s.shelf.Site.Places {
		if i < mostOffered {
			form.IDs = append(form.IDs, s.shelf.Site.Places[i].Assessment.Location.ID)
		}
	}
	for _, k := range assess.ChangeKinds {
		form.Kinds = append(form.Kinds, k.Name)
	}
	w.Header().Set("Cache-Control", "no-store")
	h.framed(w, r, s, status, f.title("Log a change"), "change.html", form)
}

// told is the change that a form tells. What is plainly wrong is noted beside
// its field, all at once; the rest the log finds.
func told(f *fields, v *plant.Plant) *logbook.Change {
	c := &logbook.Change{At: f.Value["at"], Kind: f.Value["kind"], Note: f.Value["note"]}
	if _, ok := v.Place(c.At); !ok && !slices.Contains(v.Site.Policy.Former, c.At) {
		f.wrong(&logbook.UnknownError{Part: "at", ID: c.At})
	}
	_, err := site.ParseKind(c.Kind)
	if err != nil {
		f.Errors["kind"] = err.Error()
	}
	if c.Date, err = assess.ParseDate(f.Value["date"]); err != nil {
		f.Errors["date"] = err.Error()
	}
	c.By = f.said("by", "say whose word it is", record.LongestName)
	one := func(name string) []string {
		text := f.Value[name]
		if text == "" {
			return nil
		}
		if strings.Contains(text, "=") { // it would name another place
			f.Errors[name] = "expected a number alone"
		}
		return []string{text}
	}
	c.FaultKA, c.ClearMS, c.ClearReducedMS = one("fault_ka"), one("clear_ms"), one("clear_reduced_ms")
	return c
}

// wrong puts an error of the log beside its field, and reports whether it was
// the fault of the form.
func (f *fields) wrong(err error) bool {
	var part *logbook.WrongError
	var unknown *logbook.UnknownError
	switch {
	case errors.As(err, &part):
		name := part.Part
		if strings.HasPrefix(name, "new-") {
			name = "new"
		}
		f.Errors[name] = part.Err.Error()
	case errors.As(err, &unknown) && unknown.ID == "":
		f.Errors["at"] = "name a location"
	case errors.As(err, &unknown):
		f.Errors["at"] = "there is no location " + unknown.ID +
			" in this site; ids are spelt as in locations.csv, capitals included"
	default:
		return false
	}
	return true
}

// previewChange shows what the change would make of the labels.
func (h *Handler) previewChange(w http.ResponseWriter, r *http.Request, s *snapshot, notice string) {
	f := h.fields(r)
	f.Notice = notice
	c := told(&f, s.shelf.Site)
	var effect *logbook.Effect
	if len(f.Errors) == 0 {
		var err error
		effect, err = h.site.Desk.Preview(c)
		if err != nil && !f.wrong(err) {
			h.failed(w, r, err)
			return
		}
	}
	if len(f.Errors) > 0 {
		h.askChange(w, r, s, http.StatusUnprocessableEntity, f)
		return
	}
	h.showChange(w, r, s, http.StatusOK, effect, f)
}

func (h *Handler) showChange(
	w http.ResponseWriter, r *http.Request, s *snapshot, status int, effect *logbook.Effect, f fields,
) {
	shown := &changeShown{Effect: effect, Lines: lines(effect), Seen: seen(effect), fields: f}
	shown.Keep = []string{"at", "kind", "date", "by", "note", "fault_ka", "clear_ms", "clear_reduced_ms"}
	w.Header().Set("Cache-Control", "no-store")
	h.framed(w, r, s, status, f.title("What the change puts in question"), "effect.html", shown)
}

// saveChange logs the change where its effect is the one that was shown, or
// answers itself and gives nil.
func (h *Handler) saveChange(w http.ResponseWriter, r *http.Request, s *snapshot) *answer {
	f := h.fields(r)
	c := told(&f, s.shelf.Site)
	if len(f.Errors) > 0 {
		h.askChange(w, r, s, http.StatusUnprocessableEntity, f)
		return nil
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		effect, err := h.site.Desk.Preview(c)
		if err != nil {
			h.failed(w, r, err)
			return nil
		}
		h.showChange(w, r, s, status, effect, f)
		return nil
	}
	effect, err := h.site.Desk.Save(c, func(e *logbook.Effect) error {
		if seen(e) != f.Value["seen"] {
			return errOther
		}
		return nil
	})
	h.renew()
	switch {
	case errors.Is(err, errOther):
		h.previewChange(w, r, h.current(), "The site has changed since this was shown. Nothing is saved: look again.")
		return nil
	case err != nil && f.wrong(err):
		h.askChange(w, r, s, http.StatusUnprocessableEntity, f)
		return nil
	case err != nil:
		h.failed(w, r, err)
		return nil
	}
	now := h.current()
	if now.err != nil {
		h.unreadable(w, r, now.err)
		return nil
	}
	shown := &changeShown{Effect: effect, Lines: lines(effect)}
	whole, err := now.frame(r, "The change is logged", "saved.html", shown)
	if err != nil {
		h.failed(w, r, err)
		return nil
	}
	return &answer{status: http.StatusOK, page: whole}
}

// lines is an effect in the words of the command.
func lines(e *logbook.Effect) []string {
	const wide = 1 << 20 // one line each: the page breaks them
	var b strings.Builder
	if err := e.Text(&b, wide); err != nil {
		return []string{err.Error()}
	}
	var all []string
	for l := range strings.Lines(b.String()) {
		all = append(all, strings.TrimSpace(l))
	}
	return all
}

// seen names an effect, so that what is saved is what was shown.
func seen(e *logbook.Effect) string {
	data, err := json.Marshal(e)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
