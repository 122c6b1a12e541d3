package commands

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/basis"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/serve"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// desk does what the forms of the server ask for, in the same way as the
// commands. today is the day of a request.
func (e *Env) desk(today func() assess.Date, word *serve.Passphrase) *serve.Desk {
	return e.deskAs("", today, word)
}

// deskAs is desk in the name of a person who signed in with a role.
func (e *Env) deskAs(role record.Role, today func() assess.Date, word *serve.Passphrase) *serve.Desk {
	now := func() *Env {
		c := *e
		c.today, c.role = today(), role
		return &c
	}
	return &serve.Desk{
		As:         func(role record.Role) *serve.Desk { return e.deskAs(role, today, word) },
		Passphrase: word,
		Refused:    func(v *basis.View, what serve.What) []serve.Refusal { return now().refused(v, what) },
		Stocks:     stocks,
		Plan:       func(v *plant.Plant, o serve.Order) (*serve.Sheets, error) { return now().sheets(v, o) },
		Print:      func(o serve.Order) (*serve.Printed, error) { return now().printFor(o) },
		Tell: func(d *logbook.Doing) (*logbook.Noted, error) {
			e := now()
			v, _, err := e.viewOf(d.IDs...)
			if err != nil {
				return nil, err
			}
			return d.Note(v, e.store(), version())
		},
		Withdraw: func(d *logbook.Withdrawal) (*logbook.Withdrawn, error) {
			e := now()
			v, _, err := e.viewOf(d.ID)
			if err != nil {
				return nil, err
			}
			return d.Note(v, e.store(), version())
		},
		See: func(v *plant.Plant, all []logbook.Look, by string) ([]logbook.Seen, error) {
			return logbook.See(v, now().store(), all, false, by, version())
		},
		Accept: func(a *logbook.Acceptance) (*logbook.Accepted, error) {
			e := now()
			l, err := e.logged()
			if err != nil {
				return nil, err
			}
			return l.Accept(e.store(), version(), a)
		},
		Preview: func(v *plant.Plant, c logbook.Entry) (*logbook.Effect, error) {
			e := now()
			f := e.folder()
			if f.err != nil {
				return nil, f.err
			}
			return e.logbook(f, v.History).Preview(v, c)
		},
		Save: func(c logbook.Entry, agreed func(*logbook.Effect) error) (*logbook.Effect, error) {
			e := now()
			l, err := e.logged()
			if err != nil {
				return nil, err
			}
			return l.Add(e.store(), version(), c, agreed)
		},
	}
}

// stocks are the owner's stocks and the built-in ones, the usual one first.
func stocks(p *assess.Policy) []serve.Stock {
	var all []serve.Stock
	for _, name := range stockNames(p) {
		if s, err := layout.Choose(name, p.Stocks); err == nil {
			all = append(all, serve.Stock{Name: name, Places: s.Places()})
		}
	}
	return all
}

// stockNames lists the owner's stocks and the built-in ones, the usual one first.
func stockNames(p *assess.Policy) []string {
	var names []string
	for _, s := range p.Stocks {
		names = append(names, s.Name)
	}
	return append(names, layout.StockNames()...)
}

// refusals are refusals in the words of the pages, which have a field for the stock.
func refusals(refused []press.Refusal, ids bool) (all []serve.Refusal) {
	for _, r := range refused {
		one := serve.Refusal{Why: r.Why, Do: r.Do}
		if ids {
			one.Why = r.ID + ": " + r.Why
		}
		if r.FitsOn != "" {
			one.Do = "it fits on label stock " + r.FitsOn + ": choose that one"
		}
		all = append(all, one)
	}
	return all
}

// planned says what an order of the server's prints, as the commands plan it.
func (e *Env) planned(o serve.Order) (*job, planner) {
	j := &job{kind: record.Print, stock: o.Stock, by: o.By, start: o.Start, copies: o.Copies}
	worded := func(p planner) planner {
		return func(v *plant.Plant, look press.Look) (*press.Plan, error) { return p(v.Worded(pages.Words), look) }
	}
	switch o.What {
	case serve.Again, serve.Interim:
		j.kind, j.whole, j.of = record.Reprint, true, []string{"/V/" + string(o.Code)}
		if o.What == serve.Interim {
			j.interim = o.Reason
		} else {
			j.reason = o.Reason
		}
		return j, worded(e.again(o.Find))
	case serve.Overlay:
		return j, worded(func(v *plant.Plant, look press.Look) (*press.Plan, error) {
			b, err := o.Find(basis.NewShelf(v, e.store()))
			if err != nil {
				return nil, err
			}
			return overlayOf(b, look)
		})
	}
	choice := press.Choice{IDs: o.IDs, Changed: o.IDs == nil}
	if o.What == serve.Overlays {
		return j, worded(func(v *plant.Plant, look press.Look) (*press.Plan, error) { return press.NewOverlays(v, choice, look) })
	}
	return j, worded(func(v *plant.Plant, look press.Look) (*press.Plan, error) { return press.New(v, choice, look) })
}

// overlayOf plans the overlay of one label. One that was replaced has none: it must not be there.
func overlayOf(v *basis.View, look press.Look) (*press.Plan, error) {
	id := v.Record.Location.ID
	if !v.Newest {
		return &press.Plan{Thing: press.Overlays, Refused: []press.Refusal{{ID: id,
			Why: fmt.Sprintf("%s is not the label printed last for %s", v.ID.Code(), id), Do: "Remove it, and open the page of that label."}}}, nil
	}
	return press.NewOverlays(v.Plant, press.Choice{IDs: []string{id}}, look)
}

// sheets says what an order would print of a site that was judged already.
func (e *Env) sheets(v *plant.Plant, o serve.Order) (*serve.Sheets, error) {
	f := e.folder()
	if f.err != nil {
		return nil, f.err
	}
	j, plan := e.planned(o)
	p, err := plan(v, j.look(f, &v.Site.Policy))
	if err != nil {
		return nil, err
	}
	look := j.look(f, &v.Site.Policy)
	on, err := layout.Choose("", v.Site.Policy.Stocks)
	if err != nil {
		return nil, err
	}
	made := &serve.Sheets{Nothing: sentence(p.Nothing)}
	for i, one := range refusals(p.Refused, false) {
		made.Refused = append(made.Refused, serve.NotPrinted{ID: p.Refused[i].ID, Refusal: one})
	}
	for i := range p.Items {
		r := p.Items[i].Record
		draw := func() ([]byte, error) { return press.Draft(r, on, look) }
		made.Items = append(made.Items, serve.Sheet{Record: r, Code: p.Items[i].Code, Draw: draw})
	}
	return made, nil
}

// sentence is a line of the terminal as a sentence of a page.
func sentence(line string) string {
	if line == "" {
		return ""
	}
	return strings.ToUpper(line[:1]) + line[1:] + "."
}

// refused says why a label would not be printed again, with the strip, or covered.
func (e *Env) refused(v *basis.View, what serve.What) []serve.Refusal {
	f := e.folder() // what is wrong with it is said when it is printed
	look := f.look(&v.Plant.Site.Policy)
	worded := *v
	worded.Plant = v.Plant.Worded(pages.Words)
	switch what {
	case serve.Interim:
		if press.Again(&worded, look).Refused == nil {
			return []serve.Refusal{{Why: "The label holds: it needs no strip.", Do: "Print it again as it is."}}
		}
		look.Interim = string(what) // what is entered later
	case serve.Overlay:
		p, err := overlayOf(&worded, look)
		switch {
		case err != nil:
			return []serve.Refusal{{Why: err.Error()}}
		case len(p.Items) == 0 && len(p.Refused) == 0:
			return []serve.Refusal{{Why: "The label holds: it needs no overlay."}}
		}
		return refusals(p.Refused, false)
	}
	return refusals(press.Again(&worded, look).Refused, false)
}

// printFor is the commands print and reprint for an order of the server's: the PDFs go to whoever asked,
// not into files.
func (e *Env) printFor(o serve.Order) (*serve.Printed, error) {
	j, plan := e.planned(o)
	made, outputs, err := j.carry(e, plan)
	if err != nil {
		return nil, err
	}
	done := &serve.Printed{Refused: refusals(made.Refused, o.Code == "")}
	if len(outputs) == 0 && len(done.Refused) == 0 {
		done.Refused = []serve.Refusal{{Why: made.Nothing}}
	}
	name := string(o.What)
	if o.Code != "" {
		name += " " + string(o.Code)
	}
	for i := range outputs {
		file := strings.ReplaceAll(outputs[i].Path(name+".pdf"), " ", "-")
		done.Files = append(done.Files, serve.File{Name: file, Data: outputs[i].PDF})
		for k := range outputs[i].Items {
			if id := outputs[i].Items[k].Record.Location.ID; !slices.Contains(done.IDs, id) {
				done.IDs = append(done.IDs, id)
			}
		}
	}
	return done, nil
}

// logged reads the site's log without judging the labels.
func (e *Env) logged() (*logbook.Site, error) {
	f := e.folder()
	if f.err != nil {
		return nil, f.err
	}
	h, err := e.store().History(e.today)
	if err != nil {
		return nil, err
	}
	return e.logbook(f, h), nil
}
