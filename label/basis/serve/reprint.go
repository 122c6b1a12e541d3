package serve

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess/site"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// reprintForm is the form with which a planner prints one label again, or why
// it is not printed.
type reprintForm struct {
	Code, ID, Equipment string
	Verdict             basis.Verdict
	Refused             []Refusal
	Asked               string // the code or id that led nowhere
	Stocks              []string
	fields
}

// fields are what a person filled in, and what is wrong with it.
type fields struct {
	Ticket     string
	Passphrase bool // it is asked for
	Value      map[string]string
	Errors     map[string]string // beside the fields
	Notice     string            // above them
}

func (h *Handler) fields(r *http.Request) fields {
	f := fields{Ticket: h.tickets.issue(h.now()), Passphrase: h.site.Desk.Passphrase != nil}
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
	} else if text == "" {
		f.Errors[name] = missing
	}
	return text
}

// allowed holds the passphrase that was sent against the one that is asked
// for, and gives the status of an answer where it is not that.
func (h *Handler) allowed(r *http.Request, f *fields) (status int) {
	p := h.site.Desk.Passphrase
	if p == nil {
		return http.StatusOK
	}
	err := p.Check(r.Context(), r.PostForm.Get("passphrase"))
	if err == nil {
		return http.StatusOK
	}
	f.Errors["passphrase"] = err.Error()
	if errors.Is(err, errBusy) {
		return http.StatusTooManyRequests
	}
	h.site.Log.Printf("a wrong passphrase was sent, %d since the server began", p.Failed())
	return http.StatusForbidden
}

func (h *Handler) openReprint(w http.ResponseWriter, r *http.Request, s *snapshot) {
	h.askReprint(w, r, s, http.StatusOK, r.URL.Query().Get("code"), h.fields(r))
}

func (h *Handler) sendReprint(w http.ResponseWriter, r *http.Request, s *snapshot) {
	if h.form(w, r) {
		h.once(w, r, func() *answer { return h.doReprint(w, r, s) })
	}
}

// askReprint shows the form, or why the label is not printed again.
func (h *Handler) askReprint(w http.ResponseWriter, r *http.Request, s *snapshot, status int, name string, f fields) {
	form := &reprintForm{fields: f}
	if name = strings.TrimSpace(name); name != "" {
		v, err := s.shelf.Find(name)
		if code, wrong := record.ParseCode(name); wrong == nil { // a code, whatever a location is called
			v, err = s.shelf.Scan(label.Scanned{Code: code})
		}
		switch {
		case err == nil:
			row := v.Record.Location
			form.Code, form.ID, form.Equipment, form.Verdict = string(v.ID.Code()), row.ID, row.Equipment, v.Verdict()
			form.Refused = h.site.Desk.Refused(v)
			form.Stocks = h.site.Desk.Stocks(&s.shelf.Site.Site.Policy)
		case isNotFound(err), errors.Is(err, basis.ErrNotPrinted):
			form.Asked, status = name, http.StatusNotFound
		default:
			h.page(w, r, status, nil, err)
			return
		}
	}
	w.Header().Set("Cache-Control", "no-store")
	h.framed(w, r, s, status, f.title("Print a label again"), "reprint.html", form)
}

// title says first that something is wrong, to those who hear the page.
func (f *fields) title(title string) string {
	if len(f.Errors) > 0 {
		return "Error: " + title
	}
	return title
}

// doReprint carries the form out, or answers itself and gives nil.
func (h *Handler) doReprint(w http.ResponseWriter, r *http.Request, s *snapshot) *answer {
	f := h.fields(r)
	o := Order{Stock: f.Value["stock"]}
	var err error
	if o.Code, err = record.ParseCode(f.Value["code"]); err != nil {
		h.askReprint(w, r, s, http.StatusUnprocessableEntity, "", f)
		return nil
	}
	o.By = f.said("by", "say who prints it, for the ledger", record.LongestName)
	o.Reason = f.said("reason", "say why it is printed again, for the ledger", record.LongestReason)
	if !slices.Contains(h.site.Desk.Stocks(&s.shelf.Site.Site.Policy), o.Stock) {
		f.Errors["stock"] = "choose what it is printed on"
	}
	if len(f.Errors) > 0 {
		h.askReprint(w, r, s, http.StatusUnprocessableEntity, string(o.Code), f)
		return nil
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		h.askReprint(w, r, s, status, string(o.Code), f)
		return nil
	}
	made, err := h.site.Desk.Reprint(o)
	h.renew()
	if err != nil {
		h.failed(w, r, err)
		return nil
	}
	if len(made.Refused) > 0 {
		form := &reprintForm{Code: string(o.Code), Refused: made.Refused}
		h.framed(w, r, h.current(), http.StatusConflict, "Not printed", "reprint.html", form)
		return nil
	}
	return &answer{pdf: made}
}

// failed answers where a form could not be carried out.
func (h *Handler) failed(w http.ResponseWriter, r *http.Request, err error) {
	if bad := (site.Problems)(nil); errors.As(err, &bad) {
		h.unreadable(w, r, err)
		return
	}
	h.site.Log.Printf("a form could not be carried out: %v", err)
	s := h.current()
	if s.err != nil {
		h.unreadable(w, r, s.err)
		return
	}
	h.framed(w, r, s, http.StatusInternalServerError, "Not done", "failed.html", fmt.Sprint(err))
}
