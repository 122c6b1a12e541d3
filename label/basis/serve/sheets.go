package serve

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Sheets for what is due: what a study or the policy changed, and labels that were never printed.
// Before anything is printed, each label is shown, with what differs and why.

// Sheets are what an order would print.
type Sheets struct {
	Items   []Sheet
	Refused []NotPrinted
	Nothing string // that there is nothing to print, and why
}

// NotPrinted is a refusal of one of several labels.
type NotPrinted struct {
	ID string
	Refusal
}

// Sheet is one label or overlay of them.
type Sheet struct {
	Record *record.Record
	Code   record.Code
	// Draw draws a label as a preview: a picture that says that it is not for use.
	Draw func() ([]byte, error)
}

// perSheet is how many labels a page of the preview shows.
const perSheet = 24

// sheetsForm is what the form shows.
type sheetsForm struct {
	Title, Button string
	What          What
	Only          []string
	Seen          string // identifies what would be printed
	Count         int
	Cards         []card
	Refused       []refusedSheet
	RefusedOf     string // see leftOut
	Nothing       string
	Prev, Next    string // queries of the neighboring pages
	From, To      int
	Other         step
	Stocks        []Stock
	fields
}

// refusedSheet is a label that is not printed, and what can be done here about it.
type refusedSheet struct {
	NotPrinted
	Steps []step
}

// card shows one label of a preview.
type card struct {
	ID, Equipment, Area string
	Code                record.Code
	Picture             template.HTML
	PictureWhy          string
	State               state // of the label that an overlay covers
	Why                 []string
	Values              []value
}

// value is a value on the label, as the label printed last says it and as the new one does.
type value struct{ Name, Was, Is string }

func (h *Handler) openSheets(r *http.Request, s *snapshot) http.Handler {
	f := h.fields(r)
	q := r.URL.Query()
	f.Value["what"], f.Value["page"], f.Many["only"] = q.Get("what"), q.Get("page"), q["only"]
	return h.askSheets(r, s, http.StatusOK, f)
}

// ordered is what a form or an address asks for.
func ordered(f *fields, v *plant.Plant) Order {
	o := Order{What: Due, Start: 1, Copies: 1}
	if f.Value["what"] == string(Overlays) {
		o.What = Overlays
	}
	for _, word := range f.Many["only"] {
		o.IDs = append(o.IDs, idsOf(v, word)...)
	}
	return o
}

func (h *Handler) askSheets(r *http.Request, s *snapshot, status int, f fields) http.Handler {
	v := s.book.Shelf.Site
	o := ordered(&f, v)
	shown := &sheetsForm{Title: "Print what is due", Button: "Print the labels (PDF)", What: o.What, Only: o.IDs,
		Other: step{"Print overlays for the labels that do not hold.", "print/?what=overlays"}}
	if o.What == Overlays {
		shown.Title, shown.Button = "Print overlays", "Print the overlays (PDF)"
		shown.Other = step{"Print what is due.", "print/"}
	}
	made, err := h.site.Desk.Plan(v, o)
	switch {
	case err != nil && f.wrong(err):
		status, made = http.StatusNotFound, &Sheets{}
	case err != nil:
		return h.failed(r, err)
	}
	shown.Seen, shown.Count, shown.Nothing = made.seen(), len(made.Items), made.Nothing
	shown.RefusedOf = leftOut(v, made.Refused)
	for _, refused := range made.Refused {
		one := refusedSheet{NotPrinted: refused}
		if p, ok := v.Place(refused.ID); ok {
			one.Steps = clearing(p.Judged().Reasons, p.Assessment.Findings, refused.ID)
		}
		shown.Refused = append(shown.Refused, one)
	}
	from := 0
	if n := f.number("page", 1+max(len(made.Items)-1, 0)/perSheet); f.Errors["page"] == "" {
		from = (n - 1) * perSheet
		shown.Prev, shown.Next = pageQuery(&o, n-1), pageQuery(&o, n+1)
	}
	delete(f.Errors, "page")
	to := min(from+perSheet, len(made.Items))
	if from == 0 {
		shown.Prev = ""
	}
	if to == len(made.Items) {
		shown.Next = ""
	}
	shown.From, shown.To = from+1, to
	items := made.Items
	if o.What == Overlays {
		items = urgentFirst(v, items)
	}
	for i := from; i < to; i++ {
		shown.Cards = append(shown.Cards, s.card(&items[i], o.What))
	}
	shown.Stocks = h.site.Desk.Stocks(&v.Site.Policy)
	shown.fields = f
	return h.ask(r, s, status, &f, shown.Title, "sheets.html", shown)
}

// urgentFirst are sheets in the order in which a person must look at them.
func urgentFirst(v *plant.Plant, items []Sheet) []Sheet {
	items = slices.Clone(items)
	ranks := map[string]int{}
	for i := range items {
		id := items[i].Record.Location.ID
		_, ranks[id], _ = standingOf(v, id)
	}
	slices.SortStableFunc(items, func(a, b Sheet) int { return ranks[a.Record.Location.ID] - ranks[b.Record.Location.ID] })
	return items
}

func pageQuery(o *Order, n int) string {
	q := url.Values{"page": {fmt.Sprint(n)}}
	if o.What == Overlays {
		q.Set("what", string(Overlays))
	}
	if o.IDs != nil {
		q["only"] = o.IDs
	}
	return "?" + q.Encode()
}

// seen identifies what would be printed, so that what is printed is what was shown.
func (p *Sheets) seen() string {
	sum := sha256.New()
	for i := range p.Items {
		fmt.Fprintf(sum, "%q %q\n", p.Items[i].Record.Location.ID, p.Items[i].Code)
	}
	for _, r := range p.Refused {
		fmt.Fprintf(sum, "%q %q\n", r.ID, r.Why)
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// card shows a label with what differs from the label printed last, and why.
func (s *snapshot) card(i *Sheet, what What) card {
	l := i.Record.Location
	c := card{ID: l.ID, Equipment: l.Equipment, Area: l.Area, Code: i.Code}
	printed := printedOf(s.book.Shelf.Site, l.ID)
	if what == Overlays {
		is, _, why := standingOf(s.book.Shelf.Site, l.ID)
		if c.State = is; why != "" {
			c.Why = []string{why}
		}
		for k := range printed.Standing.Reasons {
			c.Why = append(c.Why, printed.Standing.Reasons[k].Words())
		}
		return c
	}
	svg, err := i.Draw()
	if err != nil {
		c.PictureWhy = err.Error()
	}
	c.Picture = template.HTML(svg)
	var was *record.Record
	switch {
	case printed == nil:
		c.Why = []string{"it was never printed"}
	case printed.Record == nil:
		c.Why = []string{"the record of the label printed last cannot be read"}
	default:
		was = printed.Record
		c.Why = whyDue(printed, i.Record)
	}
	c.Values = values(was, i.Record)
	return c
}

// mostReasons is how many differences a card spells out.
const mostReasons = 8

// whyDue says why a label is printed again.
func whyDue(p *plant.Printed, now *record.Record) (why []string) {
	d := record.Drift(p.Record, now)
	for _, part := range []struct {
		what string
		all  int
	}{{"the row has changed", len(d.Data)}, {"the policy has changed", len(d.Policy)}} {
		if part.all > 0 {
			why = append(why, part.what)
		}
	}
	all := append(d.Data, d.Policy...)
	for i, d := range all {
		if i == mostReasons {
			why = append(why, fmt.Sprintf("and %d more", len(all)-i))
			break
		}
		why = append(why, fmt.Sprintf("%s: %s before, %s now", d.Field, cmp.Or(d.Old, "empty"), cmp.Or(d.New, "empty")))
	}
	if p.Strip {
		why = append(why, "the label printed last has the INTERIM strip")
	}
	if !p.Overlay.IsZero() {
		why = append(why, "an overlay covers the label printed last")
	}
	if p.Withdrawn != nil {
		why = append(why, "the label printed last was withdrawn")
	}
	if why == nil {
		why = []string{"the same label as the one printed last"}
	}
	return why
}

// values are the numbers of a label next to those of the one before; was is nil for none.
func values(was, is *record.Record) (all []value) {
	before := map[string]string{}
	if was != nil {
		for _, i := range basis.Items(was) {
			before[subject(i.Name)] = i.Value
		}
	}
	for _, i := range basis.Items(is) {
		one := value{i.Name, before[subject(i.Name)], i.Value}
		if one.Differs() || slices.Contains(keyValues, subject(i.Name)) {
			all = append(all, one)
		}
	}
	return all
}

// keyValues are the values that every card shows. Others are shown where they differ.
var keyValues = []string{"Signal word", "Kit", "Incident energy", "Arc-flash boundary", "Working distance", "Study", "Review by"}

// subject is what a value is about, such as the energy, whatever the distance is at which it holds.
func subject(name string) string {
	name, _, _ = strings.Cut(name, " at ")
	return name
}

// Differs reports whether the two labels say different things.
func (v *value) Differs() bool { return v.Was != "" && v.Was != v.Is }

func (h *Handler) sendSheets(r *http.Request, s *snapshot) http.Handler {
	return h.once(r, func() (http.Handler, bool) { return h.printSheets(r, s) })
}

func (h *Handler) printSheets(r *http.Request, s *snapshot) (answer http.Handler, carried bool) {
	f := h.fields(r)
	o := ordered(&f, s.book.Shelf.Site)
	h.order(s, &o, &f)
	if len(f.Errors) > 0 {
		return h.askSheets(r, s, http.StatusUnprocessableEntity, f), false
	}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return h.askSheets(r, s, status, f), false
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
	plan, err := h.site.Desk.Plan(now.book.Shelf.Site, o)
	switch {
	case err != nil:
		return h.failed(r, err), false
	case plan.seen() != f.Value["seen"]:
		f.Notice = "The site has changed since this was shown, or somebody else printed some of it. Nothing was printed: check again."
		return h.askSheets(r, now, http.StatusConflict, f), false
	}
	made, err := f.desk.Print(o)
	h.renew()
	if err != nil {
		return h.failed(r, err), false
	}
	if now = h.current(); now.err != nil {
		return h.unreadable(now.err), true
	}
	if len(made.Files) == 0 {
		f.Notice = "Nothing was printed."
		return h.askSheets(r, now, http.StatusConflict, f), false
	}
	one := &done{Title: "Printed", Files: made.Files}
	what := strings.TrimSuffix(string(o.What), "s")
	one.Lines = append(one.Lines, fmt.Sprintf("The ledger notes this PDF as printed by %s: %s%s.", f.who(), report.Plural(len(made.IDs), what), copies(o.Copies)))
	v := now.book.Shelf.Site
	one.Refused = made.Refused
	if len(plan.Refused) == len(made.Refused) {
		one.RefusedOf = leftOut(now.book.Shelf.Site, plan.Refused)
	}
	for _, id := range made.IDs {
		h.recent.note(id, &o, h.now())
	}
	one.next = nextOf(v, made.IDs, func(id string) []step { return steps(v, id) })
	return h.finish(r, one), true
}
