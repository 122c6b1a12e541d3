package serve

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// form is a form of the pages: what shows it, and what is done with what was sent.
type form struct {
	name       string      // of its address
	role       record.Role // that a person needs at least
	what       string      // it does, as the beginning of a sentence
	open, sent func(*Handler, *http.Request, *snapshot) http.Handler
}

// forms are all of them.
var forms = []form{
	{"reprint", record.RolePlanner, "Printing a label", printing(Again).open, printing(Again).send},
	{"interim", record.RolePlanner, "Printing a label", printing(Interim).open, printing(Interim).send},
	{"overlay", record.RolePlanner, "Printing an overlay", printing(Overlay).open, printing(Overlay).send},
	{"print", record.RolePlanner, "Printing labels", (*Handler).openSheets, (*Handler).sendSheets},
	{"mounted", record.RolePlanner, "Noting what was mounted", mounted.open, mounted.send},
	{"removed", record.RolePlanner, "Noting what was removed", removed.open, removed.send},
	{"seen", record.RolePlanner, "Noting what was seen", looking.open, looking.send},
	{"withdraw", record.RolePlanner, "Withdrawing a label", withdraw.open, withdraw.send},
	{"change", record.RolePlanner, "Logging a change", change.open, change.send},
	{"settle", record.RoleEngineer, "Settling a change", settle.open, settle.send},
	{"review", record.RoleEngineer, "Logging a review", review.open, review.send},
	{"accept", record.RoleEngineer, "Accepting a finding", accept.open, accept.send},
	{"audit/archive", record.RolePlanner, "Making an archive", (*Handler).openArchive, (*Handler).sendArchive},
}

// isForm reports whether an address is that of a form, or of what came of one.
func isForm(path string) bool {
	return strings.HasPrefix(path, donePath) || slices.ContainsFunc(forms, func(f form) bool { return path == "/"+f.name+"/" })
}

// fields are what a person filled in, and what is wrong with it.
type fields struct {
	Ticket     string
	Passphrase bool   // it is required
	Person     string // who signed in and fills it in, with the role; "" where the name is typed
	Value      map[string]string
	Many       map[string][]string // of fields that may be sent more than once
	Errors     map[string]string   // next to the fields
	Notice     string              // above them
	desk       *Desk               // of who fills it in
}

func (h *Handler) fields(r *http.Request) fields {
	f := fields{Ticket: h.tickets.issue(r.URL.Path, owner(r), h.now()), Passphrase: h.site.Desk.Passphrase != nil}
	f.Value, f.Many, f.Errors = map[string]string{}, map[string][]string{}, map[string]string{}
	for name, values := range r.PostForm {
		if name != "passphrase" {
			f.Value[name], f.Many[name] = strings.TrimSpace(values[0]), values
		}
	}
	if p := personOf(r); p != nil { // whatever was sent
		f.Person, f.Value["by"], f.Many["by"] = p.Words(), p.Name, []string{p.Name}
	}
	f.desk = h.desk(r)
	return f
}

// Has reports whether a field was sent with a value.
func (f *fields) Has(name, value string) bool { return slices.Contains(f.Many[name], value) }

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

// by is the name of the person who fills in a form.
func (f *fields) by() string { return f.said("by", "enter your name", record.LongestName) }

// who is that name as a page shows it: with the role of a person who signed in.
func (f *fields) who() string {
	if f.Person != "" {
		return f.Person
	}
	return f.Value["by"]
}

// day is the date in a field, or notes what is wrong with it.
func (f *fields) day(name string) assess.Date {
	d, err := assess.ParseDate(f.Value[name])
	if err != nil {
		f.Errors[name] = err.Error()
	}
	return d
}

// number is a whole number from 1 to most, or notes what is wrong with it; 1 where none was sent.
func (f *fields) number(name string, most int) int {
	if f.Value[name] == "" {
		return 1
	}
	n, err := strconv.Atoi(f.Value[name])
	if err != nil || n < 1 || n > most {
		f.Errors[name] = fmt.Sprintf("enter a number from 1 to %d", most)
	}
	return n
}

// newFields are the fields of new values that have a place for an error.
var newFields = []string{"fault_ka", "clear_ms", "clear_reduced_ms", "curve"}

// wrong puts an error of the log or of the ledger next to its field, and reports whether the
// form was the cause. What is wrong with no field is said above them.
func (f *fields) wrong(err error) bool {
	var part *logbook.WrongError
	var unknown *near.UnknownID
	var deed *record.DeedError
	var low *logbook.AgainstError
	switch {
	case errors.As(err, &low):
		f.Errors["against_screening"] = against(low)
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
		if name == "" {
			f.Notice = text
		} else {
			f.Errors[strings.ReplaceAll(name, "-", "_")] = text
		}
	case errors.As(err, &unknown):
		name := "at"
		if unknown.Flag == "scope" {
			name = unknown.Flag
		}
		if unknown.IDs[0] == "" {
			f.Errors[name] = "name a location"
			break
		}
		unknown.Flag = "" // the field says which
		f.Errors[name] = unknown.Error()
	case errors.As(err, &deed) && deed.About == record.AboutDay:
		f.Errors["date"] = err.Error()
	case errors.As(err, &deed):
		f.Notice = err.Error()
	default:
		return false
	}
	return true
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

// printedOf is the label printed last for a location; nil for none.
func printedOf(v *plant.Plant, id string) *plant.Printed {
	if p, ok := v.Place(id); ok {
		return p.Printed
	}
	for i := range v.Unlisted {
		if u := &v.Unlisted[i]; u.ID == id {
			return &u.Printed
		}
	}
	return nil
}
