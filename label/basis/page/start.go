package page

import (
	"net/url"

	"vouchmark/assess/standing"
	"vouchmark/label/basis"
)

// mostShown is how many labels the start page lists.
const mostShown = 200

type count struct {
	Sign  basis.Sign
	Count int
	Word  string
	Query string
	Loud  bool // there are some, and they must not be relied on
}

type startPage struct {
	Live    *Live
	Counts  []count
	Bad     []entry // what does not hold, worst first
	More    int
	Query   string
	Asked   bool
	Found   []entry
	FoundOf int
	Labels  int
	Head    string // of the ledger
}

// counted are the states of the start page, and how many labels are said to be
// in each.
var counted = []struct {
	sign basis.Sign
	word string
}{
	{basis.Sign(standing.Holds), "hold"}, {basis.Sign(standing.FallsDue), "fall due"},
	{basis.Sign(standing.Lapsed), "lapsed"}, {basis.Sign(standing.InQuestion), "in question"},
	{basis.Sign(standing.Replaced), "replaced"}, {basis.Sign(standing.Withdrawn), "withdrawn"},
	{basis.Ready, "ready to print"}, {basis.NotPrinted, "not printed"},
}

// Start is the start page. A query lists what it finds.
func (b *Book) Start(query string) ([]byte, error) { return b.start(b.entries(), query) }

func (b *Book) start(all []entry, query string) ([]byte, error) {
	p := startPage{Live: b.Live, Query: query, Asked: query != "", Head: b.Shelf.Site.History.Ledger.Head()}
	n := map[basis.Sign]int{}
	for i := range all {
		e := &all[i]
		n[e.Sign]++
		if e.Code != "" && e.Sign != basis.Sign(standing.Replaced) {
			p.Labels++
		}
		if p.Asked && e.matches(query) {
			p.Found = append(p.Found, *e)
		}
	}
	for _, c := range counted {
		loud := n[c.sign] > 0 && (c.sign == basis.Sign(standing.InQuestion) || c.sign == basis.Sign(standing.Lapsed))
		p.Counts = append(p.Counts, count{c.sign, n[c.sign], c.word, "?q=" + url.QueryEscape(string(c.sign)), loud})
	}
	for _, e := range worst(all) {
		switch standing.Status(e.Sign) {
		case standing.InQuestion, standing.Lapsed, standing.FallsDue:
			p.Bad = append(p.Bad, e)
		}
	}
	p.FoundOf = len(p.Found)
	p.Found, _ = first(p.Found, mostShown)
	p.Bad, p.More = first(p.Bad, mostShown)
	return b.render("start.html", "Labels and whether they hold", 0, &p)
}
