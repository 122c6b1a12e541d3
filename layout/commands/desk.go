package commands

import (
	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/basis"
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
	now := func() *Env {
		c := *e
		c.today = today()
		return &c
	}
	return &serve.Desk{
		Passphrase: word,
		Refused: func(v *basis.View) []serve.Refusal {
			f := now().folder()
			return refusals(press.Again(v, f.look(&v.Plant.Site.Policy)).Refused)
		},
		Stocks:  stockNames,
		Reprint: func(o serve.Order) (*serve.Printed, error) { return now().reprintFor(o) },
		Preview: func(v *plant.Plant, c *logbook.Change) (*logbook.Effect, error) {
			e := now()
			f := e.folder()
			if f.err != nil {
				return nil, f.err
			}
			return e.logbook(f, v.History).Preview(v, c)
		},
		Save: func(c *logbook.Change, agreed func(*logbook.Effect) error) (*logbook.Effect, error) {
			l, err := now().logged()
			if err != nil {
				return nil, err
			}
			return l.Add(e.store(), version(), c, agreed)
		},
	}
}

// stockNames lists the owner's stocks and the built-in ones, the usual one first.
func stockNames(p *assess.Policy) []string {
	var names []string
	for _, s := range p.Stocks {
		names = append(names, s.Name)
	}
	return append(names, layout.StockNames()...)
}

func refusals(refused []press.Refusal) (all []serve.Refusal) {
	for _, r := range refused {
		all = append(all, serve.Refusal{Why: r.Why, Do: r.Do})
	}
	return all
}

// reprintFor is the command reprint for an order of the server's: the PDF goes
// to whoever asked, not into a file.
func (e *Env) reprintFor(o serve.Order) (*serve.Printed, error) {
	j := job{kind: record.Reprint, stock: o.Stock, by: o.By, reason: o.Reason, start: 1, copies: 1, whole: true, of: []string{"/V/" + string(o.Code)}}
	made, outputs, err := j.carry(e, e.again(func(s *basis.Shelf) (*basis.View, error) {
		return s.Scan(label.Scanned{Code: o.Code}) // a code, whatever a location is called
	}))
	if err != nil || len(made.Refused) > 0 {
		return &serve.Printed{Refused: refusals(made.Refused)}, err
	}
	return &serve.Printed{Name: "label-" + string(o.Code) + ".pdf", PDF: outputs[0].PDF}, nil
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
