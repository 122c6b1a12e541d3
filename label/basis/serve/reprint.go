package serve

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// reprintForm is the form with which a planner prints one label again, or why
// it is not printed.
type reprintForm struct {
	Code, ID, Equipment string
	Verdict             basis.Verdict
	Refused             []Refusal
	Asked               string // the code or id for which there is no label
	Why                 string // why what was asked for is not shown
	Stocks              []string
	fields
}

// fields are what a person filled in, and what is wrong with it.
type fields struct {
	Ticket     string
	Passphrase bool // it is required
	Value      map[string]string
	Errors     map[string]string // next to the fields
	Notice     string            // above them
}

func (h *Handler) fields(r *http.Request) fields {
	f := fields{Ticket: h.tickets.issue(r.URL.Path, owner(r), h.now()), Passphrase: h.site.Desk.Passphrase != nil}
	f.Value, f.Errors = map[string]string{}, map[string]string{}
	for name, values := range r.PostForm {
		if name != "passphrase" {
			f.Value[name] = strings.TrimSpace(values[0])
		}
	}
	return f
}

// said makes one line of a field, or notes what is wrong with it.
func (f *fields) said(name, missing string, longest int) string {
	text, err := record.OneLine(f.Value[name], longest)
	if err != nil {
		f.Errors[name] = err.Error()
	} else if !assess.Says(text) {
		if f.Errors[name] = missing; text != "" {
			f.Errors[name] += fmt.Sprintf("; %q says nothing", text)
		}
	}
	return text
}

// allowed checks the passphrase that was sent, and gives the status of the
// answer.
func (h *Handler) allowed(r *http.Request, f *fields) (status int) {
	p := h.site.Desk.Passphrase
	if p == nil {
		return http.StatusOK
	}
	err := p.Check(r.Context(), Who{h.from(r), owner(r)}, r.PostForm.Get("passphrase"))
	if err == nil {
		return http.StatusOK
	}
	f.Errors["passphrase"] = err.Error()
	if errors.Is(err, errBusy) {
		return http.StatusTooManyRequests
	}
	h.site.Log.Printf("wrong passphrase, %d since the server started", p.Failed())
	return http.StatusForbidden
}

// ask shows a form, which no cache stores. Where something is wrong, the title
// says so first, for those who hear the page.
func (h *Handler) ask(r *http.Request, s *snapshot, status int, f *fields, title, name string, data any) http.Handler {
	if len(f.Errors) > 0 {
		title = "Error: " + title
	}
	return noStore(retry(status, h.framed(r, s, status, title, name, data)))
}

func (h *Handler) openReprint(r *http.Request, s *snapshot) http.Handler {
	return h.askReprint(r, s, http.StatusOK, r.URL.Query().Get("code"), h.fields(r))
}

func (h *Handler) sendReprint(r *http.Request, s *snapshot) http.Handler {
	return h.once(r, func() (http.Handler, bool) { return h.doReprint(r, s) })
}

// askReprint shows the form, or why the label is not printed again.
func (h *Handler) askReprint(r *http.Request, s *snapshot, status int, name string, f fields) http.Handler {
	form := &reprintForm{fields: f}
	if name = strings.TrimSpace(name); name != "" {
		v, err := s.book.Shelf.Find(name)
		both := (*record.AmbiguousError)(nil)
		switch {
		case err == nil:
			row := v.Record.Location
			form.Code, form.ID, form.Equipment, form.Verdict = string(v.ID.Code()), row.ID, row.Equipment, v.Verdict()
			form.Refused = h.site.Desk.Refused(v)
			form.Stocks = h.site.Desk.Stocks(&s.book.Shelf.Site.Site.Policy)
		case errors.Is(err, record.ErrNotFound), errors.Is(err, basis.ErrNotPrinted):
			form.Asked, status = name, http.StatusNotFound
			if other := (*basis.ElsewhereError)(nil); errors.As(err, &other) {
				form.Why = other.Error()
			}
		case errors.As(err, &both):
			form.Why, status = both.Error(), http.StatusConflict
		default:
			return h.page(status, nil, err)
		}
	}
	return h.ask(r, s, status, &f, "Print a label again", "reprint.html", form)
}

// doReprint prints the label, or says why not.
func (h *Handler) doReprint(r *http.Request, s *snapshot) (answer http.Handler, done bool) {
	f := h.fields(r)
	o := Order{Stock: f.Value["stock"]}
	var err error
	if o.Code, err = record.ParseCode(f.Value["code"]); err != nil {
		return h.askReprint(r, s, http.StatusUnprocessableEntity, "", f), false
	}
	o.By = f.said("by", "enter your name, for the ledger", record.LongestName)
	o.Reason = f.said("reason", "enter why it is printed again, for the ledger", record.LongestReason)
	if !slices.Contains(h.site.Desk.Stocks(&s.book.Shelf.Site.Site.Policy), o.Stock) {
		f.Errors["stock"] = "choose a label stock"
	}
	if len(f.Errors) > 0 {
		return h.askReprint(r, s, http.StatusUnprocessableEntity, string(o.Code), f), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return h.askReprint(r, s, status, string(o.Code), f), false
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err), false
	}
	defer leave()
	made, err := h.site.Desk.Reprint(o)
	h.renew()
	if err != nil {
		return h.failed(r, err), false
	}
	if len(made.Refused) > 0 {
		form := &reprintForm{Code: string(o.Code), Refused: made.Refused}
		return h.framed(r, h.current(), http.StatusConflict, "Not printed", "reprint.html", form), false
	}
	return made, true
}

// failed answers where a form could not be carried out.
func (h *Handler) failed(r *http.Request, err error) http.Handler {
	if bad := (site.Problems)(nil); errors.As(err, &bad) {
		return h.unreadable(err)
	}
	h.site.Log.Printf("a form could not be carried out: %v", err)
	s := h.current()
	if s.err != nil {
		return h.unreadable(s.err)
	}
	return h.framed(r, s, http.StatusInternalServerError, "Not done", "failed.html", err.Error())
}
