package page

import (
	"fmt"
	"net/url"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
)

// mostShown is how many labels the start page lists.
const mostShown = 200

type count struct {
	Sign  basis.Sign
	Count int
	Word  string
	Query string
}

type startPage struct {
	Live      *Live
	Counts    []count
	Tasks     []taskCount
	Bad       []entry // labels that need attention, worst first
	More      int
	Asked     Asked
	Choices   *choices
	Links     string // with which the labels of the site begin, separated by blanks
	Found     []entry
	FoundOf   int
	Labels    int
	Head      string // of the ledger
	Log       []string
	Amiss     []amissRow // what was found on the equipment and is not yet put right
	MoreAmiss int        // how many of these are not listed
	Planned   plannedLines
}

// counted are the states that the start page counts, and their words.
var counted = []count{
	{Sign: basis.Sign(standing.Holds), Word: "hold"}, {Sign: basis.Sign(standing.FallsDue), Word: "fall due"},
	{Sign: basis.Sign(standing.Lapsed), Word: "lapsed"}, {Sign: basis.Sign(standing.InQuestion), Word: "in question"},
	{Sign: basis.Sign(standing.Replaced), Word: "replaced"}, {Sign: basis.Sign(standing.Withdrawn), Word: "withdrawn"},
	{Sign: basis.Ready, Word: "ready to print"}, {Sign: basis.NotPrinted, Word: "not printed"},
}

// lowWords is why a label counts first. What is to be covered is more: see [plant.Plant.Tasks].
const lowWords = "printed too low"

// tooLowCount counts the labels that are printed too low. They are in question too.
var tooLowCount = count{Sign: basis.Cover, Word: lowWords, Query: "?q=" + url.QueryEscape(standing.Cover)}

// Up is the way from the page to the start page.
func (*startPage) Up() string { return "" }

// Start is the start page. It lists what is asked for.
func (b *Book) Start(asked Asked) ([]byte, error) {
	return b.set().start(b.startPage(b.entries(), asked))
}

func (s *setting) start(p *startPage) ([]byte, error) {
	return s.render("start.html", "Label status", "", 0, struct {
		*startPage
		Texts []label.PageTexts
	}{p, s.texts()})
}

func (b *Book) startPage(all []entry, asked Asked) *startPage {
	p := startPage{Live: b.Live, Asked: asked, Choices: choicesOf(all),
		Links: strings.Join(b.Shelf.Site.Site.Policy.Links(), " "), Head: b.Shelf.Site.History.Ledger.Head(), Log: logOf(b.Shelf.Site)}
	p.Tasks = b.walk().counts
	p.Planned = plannedOf(b.Shelf)
	p.Amiss, p.MoreAmiss = first(amissOf(b.Shelf.Site, b.round()), mostShown)
	n := map[basis.Sign]int{}
	tooLow := tooLowCount
	for i := range all {
		e := &all[i]
		n[e.status]++
		tooLow.Count += btoi(e.tooLow)
		if e.Code != "" && e.status != basis.Sign(standing.Replaced) {
			p.Labels++
		}
	}
	if tooLow.Count > 0 {
		p.Counts = append(p.Counts, tooLow)
	}
	for _, c := range counted {
		if c.Sign == basis.Sign(standing.InQuestion) && tooLow.Count > 0 {
			c.Word += fmt.Sprintf(", %d of them "+lowWords, tooLow.Count)
		}
		c.Count, c.Query = n[c.Sign], "?q="+url.QueryEscape(string(c.Sign))
		p.Counts = append(p.Counts, c)
	}
	for _, i := range worstFirst(all) {
		switch standing.Status(all[i].status) {
		case standing.InQuestion, standing.Lapsed, standing.FallsDue:
			p.Bad = append(p.Bad, all[i])
		}
	}
	if asked.Any() {
		p.Found = asked.find(all)
	}
	p.FoundOf = len(p.Found)
	p.Found, _ = first(p.Found, mostShown)
	p.Bad, p.More = first(p.Bad, mostShown)
	return &p
}
