package serve

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// One label printed: again, with the INTERIM strip, or the overlay that covers it.

// What is what a form prints.
type What string

// What can be printed.
const (
	Again    What = "label"         // the same label, from its record
	Interim  What = "interim label" // likewise, with the strip, though it does not hold
	Overlay  What = "overlay"       // the strip that covers it
	Due      What = "labels"        // all labels that are due, or the chosen ones
	Overlays What = "overlays"      // all overlays that are due
)

// Order is a request for a print.
type Order struct {
	What       What
	Code       record.Code // of the label, for one label
	IDs        []string    // of Due and Overlays: only these; nil for what is due
	By, Reason string
	Stock      string
	Start      int // the first free position on a partly used sheet
	Copies     int
}

// Find is the label of an order for one: by its code, whatever a location is called.
func (o *Order) Find(s *basis.Shelf) (*basis.View, error) { return s.Scan(label.Scanned{Code: o.Code}) }

// Printed is what came of an order: PDFs, or refusals.
type Printed struct {
	Files   []File
	IDs     []string // of the labels, in the order of the sheets
	Refused []Refusal
}

// Refusal says why a label is not printed, and what to do about it.
type Refusal struct{ Why, Do string }

// Stock is a label stock.
type Stock struct {
	Name   string
	Places int // labels on a sheet
}

// printing is the form of one of the first three.
type printing What

// printForm is what its page shows.
type printForm struct {
	*about
	Title, Lead, Button string
	Question            string // why it is printed; "" for none
	Stocks              []Stock
	Head                string // of the ledger, when it was shown
	Earlier             []earlier
	Recent              string // that somebody printed it a moment ago
	fields
}

// words of each of them.
var printWords = map[What]printForm{
	Again: {Title: "Print a label again", Lead: "The same label is printed from its record; mount it only where the damaged one was.",
		Question: "Why do you print it again?", Button: "Print (PDF)"},
	Interim: {Title: "Print an interim label", Lead: "The same label is printed with a visible INTERIM strip, because it does not hold. " +
		"The strip tells whoever reads it to ask first.",
		Question: "Why is it printed although it does not hold?", Button: "Print the interim label (PDF)"},
	Overlay: {Title: "Print an overlay", Lead: "The overlay covers the label on the equipment: DO NOT USE THE LABEL BELOW. The label stays.",
		Button: "Print the overlay (PDF)"},
}

func (p printing) open(h *Handler, r *http.Request, s *snapshot) http.Handler {
	q := r.URL.Query()
	name := q.Get("code")
	if name == "" {
		name = q.Get("at")
	}
	return p.ask(h, r, s, http.StatusOK, name, h.fields(r), nil)
}

func (p printing) send(h *Handler, r *http.Request, s *snapshot) http.Handler {
	return h.once(r, func() (http.Handler, bool) { return p.print(h, r, s) })
}

// ask shows the form, or why the label is not printed. refused are the refusals of a print that
// was tried; nil asks for them.
func (p printing) ask(h *Handler, r *http.Request, s *snapshot, status int, name string, f fields, refused []Refusal) http.Handler {
	form := printWords[What(p)]
	a, found, err := s.about(name)
	if err != nil {
		return h.page(status, nil, err)
	}
	if found != http.StatusOK {
		status = found
	}
	form.about, form.fields = a, f
	if a.Code != "" {
		v := s.book.Shelf.Site
		if a.Refused = refused; refused == nil {
			a.Refused = h.site.Desk.Refused(a.view, What(p))
		}
		if a.Refused != nil {
			a.Steps = p.instead(h, s, a)
		}
		form.Stocks = h.site.Desk.Stocks(&v.Site.Policy)
		form.Head, form.Earlier = v.History.Ledger.Head(), earlierPrints(a.view)
		form.Recent = h.recent.words(a.ID, What(p), h.now())
	}
	return h.ask(r, s, status, &f, form.Title, "printing.html", &form)
}

// instead is what else can be done about a label that is not printed this way.
func (p printing) instead(h *Handler, s *snapshot, a *about) []step {
	v, named := s.book.Shelf.Site, a.Named()
	var all []step
	for _, other := range []struct {
		What
		form string
	}{{Again, "reprint"}, {Interim, "interim"}, {Overlay, "overlay"}} {
		if other.What != What(p) && a.view.Newest && h.site.Desk.Refused(a.view, other.What) == nil {
			all = append(all, step{printWords[other.What].Title + ".", at(other.form, named)})
		}
	}
	all = append(all, doubts(a.view)...)
	for _, next := range steps(v, a.ID) {
		if !slices.ContainsFunc(all, func(s step) bool { return strings.HasPrefix(next.Href, s.form()) }) {
			all = append(all, next)
		}
	}
	return append(all, home(v, a.ID)...)
}

// form is the form to which a step leads.
func (s *step) form() string {
	name, _, _ := strings.Cut(s.Href, "?")
	return name
}

// doubts lead to the forms that can clear the doubts about a label.
func doubts(v *basis.View) []step {
	return clearing(v.Standing.Reasons, v.Findings, v.Record.Location.ID)
}

func clearing(reasons []standing.Reason, findings []assess.Finding, location string) (all []step) {
	for i := range reasons {
		for _, id := range openChanges(&reasons[i]) {
			all = append(all, step{"Settle " + id + ", if it does not affect this label.", "settle/?" + settling(id)})
		}
	}
	for i := range findings {
		f := &findings[i]
		if one := (step{"Accept the finding " + string(f.Code) + " by name.", at("accept", location, "finding", string(f.Code))}); f.Acceptable() &&
			!slices.Contains(all, one) {
			all = append(all, one)
		}
	}
	return all
}

// openChanges are the changes that a reason is about, at most the first five.
func openChanges(r *standing.Reason) []string {
	switch {
	case r.Remedy.Act != assess.ToSettle && r.Remedy.Act != assess.ToAnswer:
		return nil
	case r.Open != nil:
		return r.Open
	}
	return []string{r.Change}
}

// print prints the label, or says why not.
func (p printing) print(h *Handler, r *http.Request, s *snapshot) (answer http.Handler, carried bool) {
	f := h.fields(r)
	name := f.Value["code"]
	o := Order{What: What(p)}
	var err error
	if o.Code, err = record.ParseCode(name); err != nil {
		return p.ask(h, r, s, http.StatusUnprocessableEntity, "", f, nil), false
	}
	name = "/V/" + string(o.Code)
	if p != printing(Overlay) {
		o.Reason = f.said("reason", "enter why it is printed, for the ledger", record.LongestReason)
	}
	h.order(s, &o, &f)
	if len(f.Errors) > 0 {
		return p.ask(h, r, s, http.StatusUnprocessableEntity, name, f, nil), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return p.ask(h, r, s, status, name, f, nil), false
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err), false
	}
	defer leave()
	h.renew()
	now := h.current()
	if now.err != nil {
		return h.unreadable(now.err), false
	}
	a, _, err := now.about(name)
	if err != nil || a.Code == "" {
		return p.ask(h, r, now, http.StatusConflict, name, f, nil), false
	}
	if refused := h.site.Desk.Refused(a.view, o.What); refused != nil {
		return p.ask(h, r, now, http.StatusConflict, name, f, refused), false
	}
	if since := printedSince(now.book.Shelf.Site.History.Ledger, f.Value["head"], a.ID, o.What); since != "" {
		f.Notice = "Nothing was printed now: since this form was opened, " + since + ". Print it again only if that print is not enough."
		return p.ask(h, r, now, http.StatusConflict, name, f, nil), false
	}
	made, err := f.desk.Print(o)
	h.renew()
	if err != nil {
		return h.failed(r, err), false
	}
	now = h.current()
	if len(made.Refused) > 0 {
		if now.err != nil {
			return h.unreadable(now.err), false
		}
		return p.ask(h, r, now, http.StatusConflict, name, f, made.Refused), false
	}
	h.recent.note(a.ID, &o, h.now())
	one := &done{Title: "Printed", Files: made.Files,
		Lines: []string{fmt.Sprintf("The ledger notes this PDF, the %s of %s, as printed by %s%s.", o.What, a.ID, f.who(), copies(o.Copies))}}
	if now.err == nil {
		v := now.book.Shelf.Site
		one.Steps = append(steps(v, a.ID), home(v, a.ID)...)
	}
	return h.finish(r, one), true
}

func copies(n int) string {
	if n > 1 {
		return fmt.Sprintf(", %d copies", n)
	}
	return ""
}

// mostCopies is how many copies of a label one form prints.
const mostCopies = 99

// order reads what all forms of prints ask for.
func (h *Handler) order(s *snapshot, o *Order, f *fields) {
	o.By, o.Stock = f.by(), f.Value["stock"]
	o.Start, o.Copies = 1, f.number("copies", mostCopies)
	stocks := h.site.Desk.Stocks(&s.book.Shelf.Site.Site.Policy)
	if i := slices.IndexFunc(stocks, func(k Stock) bool { return k.Name == o.Stock }); i < 0 {
		f.Errors["stock"] = "choose a label stock"
	} else {
		o.Start = f.number("start", stocks[i].Places)
	}
}

// earlier is an earlier print of a label.
type earlier struct {
	Date, What, By, Why string
	Copies              int
}

// earlierPrints are the prints of a label and its overlays, the newest first.
func earlierPrints(v *basis.View) (all []earlier) {
	for i := range v.Prints {
		p := &v.Prints[i]
		if !p.Kind.Prints() || p.Failed {
			continue
		}
		one := earlier{Date: p.Date, What: string(Again), By: p.By, Why: p.Reason, Copies: 1}
		switch {
		case p.Thing == overlay:
			one.What = string(Overlay)
		case p.Thing != "":
			continue
		case p.Interim != "":
			one.What, one.Why = string(Interim), p.Interim
		}
		if !p.Done {
			one.Why = "started; not known to be finished"
		}
		if n := len(all) - 1; n >= 0 { // copies of one print, or prints that differ in nothing
			same := all[n]
			if same.Copies = 1; same == one {
				all[n].Copies++
				continue
			}
		}
		all = append(all, one)
	}
	slices.Reverse(all)
	return all
}

// thing is what an order prints, as the ledger names it.
func (w What) thing() string {
	if w == Overlay || w == Overlays {
		return overlay
	}
	return ""
}

// printedSince says who printed a label after the ledger had a head; "" for nobody.
func printedSince(l *record.Ledger, head, id string, what What) string {
	n := 0
	var by string
	failed := map[string]bool{}
	for i := len(l.Lines) - 1; i >= 0 && l.Lines[i].Hash != head; i-- {
		line := &l.Lines[i]
		if line.Kind == record.Failed {
			failed[line.Of] = true
		}
		if !line.Kind.Prints() || line.Thing != what.thing() || failed[line.Hash] {
			continue
		}
		for _, p := range line.Labels {
			if p.ID == id {
				by = line.By
				n++
			}
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return by + " printed it"
	}
	return fmt.Sprintf("%s printed it (%d copies)", by, n)
}

// recently is how long a print counts as one of a moment ago. The ledger has days alone.
const recently = 10 * time.Minute

// recents are the prints of this server in the last minutes.
type recents struct {
	mu  sync.Mutex
	all []recent // oldest first
}

type recent struct {
	id, thing, by string
	copies        int
	at            time.Time
}

func (p *recents) note(id string, o *Order, now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.forget(now)
	p.all = append(p.all, recent{id, o.What.thing(), o.By, o.Copies, now})
}

func (p *recents) forget(now time.Time) {
	p.all = slices.DeleteFunc(p.all, func(r recent) bool { return now.Sub(r.at) > recently })
}

// words say who printed a label a moment ago; "" for nobody.
func (p *recents) words(id string, what What, now time.Time) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.forget(now)
	for i := len(p.all) - 1; i >= 0; i-- {
		if r := &p.all[i]; r.id == id && r.thing == what.thing() {
			when := "less than a minute ago"
			if n := int(now.Sub(r.at).Minutes()); n == 1 {
				when = "a minute ago"
			} else if n > 1 {
				when = fmt.Sprintf("%d minutes ago", n)
			}
			return fmt.Sprintf("%s printed it %s%s. Print it again only if that print is not enough.", r.by, when, copies(r.copies))
		}
	}
	return ""
}
