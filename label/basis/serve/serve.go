package serve

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log"
	"net/http"
	"path"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/basis/page"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Site is what a server shows.
type Site struct {
	// Folder is the site folder, watched for changes.
	Folder fs.FS
	// Today is the day on which the site is judged.
	Today func() assess.Date
	// Load reads and judges the folder. before is the site as it was read before, where
	// since then only the log of changes was edited; else nil.
	Load func(today assess.Date, before *page.Book) (*page.Book, error)
	// Names are the names and addresses under which the server answers, apart
	// from localhost and this machine's own addresses.
	Names []string
	// Forwarded says that every request comes from a server in front, which adds the client's address
	// as the last one of X-Forwarded-For.
	Forwarded bool
	// Desk is what the forms do; nil for a server that only reads.
	Desk *Desk
	// Audit is what an auditor can have made; nil for nothing.
	Audit *Auditing
	// People are those who may use the server, where people sign in; nil where nobody does.
	People *People
	// Owner names the person who sent a request, for a site where people sign in; "" if it does not
	// know. A form works only for who opened it. nil where nobody signs in: then forms belong to browsers.
	Owner func(*http.Request) string
	// Log receives what went wrong. It never contains a person's name.
	Log *log.Logger
}

// Desk is what a planner can do, by the same functions as the commands. They read the folder
// themselves, except those that are given a site, so they decide by its state at that moment.
type Desk struct {
	// Refused says why a label would not be printed so, in the words of the pages; nil where it would.
	Refused func(*basis.View, What) []Refusal
	// Stocks are the label stocks, the usual one first.
	Stocks func(*assess.Policy) []Stock
	// Plan says what an order for several labels would print. It writes nothing.
	Plan func(*plant.Plant, Order) (*Sheets, error)
	// Print prints what was ordered, and notes it in the ledger.
	Print func(Order) (*Printed, error)
	// Tell notes what somebody did on the equipment, and Withdraw that a label no longer counts.
	Tell     func(*logbook.Doing) (*logbook.Noted, error)
	Withdraw func(*logbook.Withdrawal) (*logbook.Withdrawn, error)
	// See notes what was found on the equipment of a site as it was judged: each look, or why not.
	See func(v *plant.Plant, all []logbook.Look, by string) ([]logbook.Seen, error)
	// Accept adds a finding that a named person accepts to the policy.
	Accept func(*logbook.Acceptance) (*logbook.Accepted, error)
	// Preview says what an entry in the log would do to the labels of a site as it was judged. It
	// writes nothing.
	Preview func(*plant.Plant, logbook.Entry) (*logbook.Effect, error)
	// Save adds an entry to the log, unless agreed refuses its effect.
	Save func(e logbook.Entry, agreed func(*logbook.Effect) error) (*logbook.Effect, error)
	// Passphrase is required by all forms; nil for none.
	Passphrase *Passphrase
	// As is the same in the name of a person who signed in with a role, which the ledger notes; nil where nobody
	// signs in.
	As func(record.Role) *Desk
}

// Handler answers requests. Make it with New.
type Handler struct {
	site    Site
	checks  http.Handler
	tickets tickets
	used    uses
	signing *signing // nil where nobody signs in
	dones   dones
	recent  recents
	now     func() time.Time

	previews, writes, making, audits *turns

	newest   atomic.Pointer[snapshot]
	paths    atomic.Pointer[[]string] // of the site's links, see inside
	checked  atomic.Int64             // when it was last found to be current, in unix nanoseconds
	mu       sync.Mutex               // held while the folder is checked and read
	read     time.Time                // when the bytes were last compared
	patience time.Duration            // see meanwhile
	audited  atomic.Pointer[page.Audit]
	earlier  shelfOfPages // pages of all snapshots, the newest of each address
}

// New is a handler that shows a site.
func New(s Site) *Handler {
	h := &Handler{site: s, now: time.Now, tickets: newTickets(), earlier: shelfOfPages{most: mostKept}, patience: patience}
	h.previews, h.writes = newTurns(1, mostWaiting, eachWaiting), newTurns(1, mostWaiting, eachWaiting)
	h.making = newTurns(makers, mostMaking, eachMaking)
	h.audits = newTurns(1, auditsWaiting, auditsFromAddress)
	if h.site.Log == nil {
		h.site.Log = log.New(io.Discard, "", 0)
	}
	if s.People != nil {
		h.signing = newSigning()
		h.site.Owner = func(r *http.Request) string {
			if p := personOf(r); p != nil {
				return p.Name
			}
			return ""
		}
	}
	h.checks = h.guard(h.routes())
	return h
}

// ServeHTTP implements http.Handler.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h.checks.ServeHTTP(w, h.inside(r))
}

// mostAsked is the longest search.
const mostAsked = 200

func (h *Handler) start(r *http.Request, s *snapshot) http.Handler {
	get := func(name string) string {
		text := strings.TrimSpace(r.URL.Query().Get(name))
		if runes := []rune(text); len(runes) > mostAsked {
			text = string(runes[:mostAsked])
		}
		return text
	}
	asked := page.Asked{Text: get("q"), Area: get("area"), Standing: get("standing"), Kit: get("kit"),
		Signal: get("signal"), Sort: get("sort")}
	if !asked.Any() {
		return h.keep(s, "/", s.page("index.html"))
	}
	switch place, elsewhere := s.book.Straight(asked.Text); {
	case elsewhere:
		data, err := s.book.Elsewhere(depth(r.URL.Path))
		return h.page(http.StatusNotFound, data, err)
	case place != "":
		return redirect(strings.TrimSuffix(place, "index.html"))
	}
	data, err := s.book.Start(asked)
	return h.page(http.StatusOK, data, err)
}

// label shows the record of a label: /V/CODE/FACTS/. Where the facts in the
// address differ from the record, the page says so.
func (h *Handler) label(r *http.Request, s *snapshot) http.Handler {
	code, err := record.ParseCode(r.PathValue("code"))
	facts, file := r.PathValue("facts"), r.PathValue("file")
	if file == "index.html" { // a folder and its index.html are one page, as with files
		file = ""
	}
	if err != nil || len(facts) > mostAsked || file != "" && file != "basis.json" {
		return h.missing(r, s)
	}
	v, err := s.book.Shelf.Scan(label.Scanned{Code: code, Facts: strings.ToUpper(facts)})
	if err != nil || v.Unknown {
		return h.lost(r, s, code, err)
	}
	differs := len(v.Differences) > 0
	if !differs {
		facts = label.Facts(v.Record)
	}
	place := fmt.Sprintf("/V/%s/%s/%s", code, facts, file)
	switch {
	case differs && file != "": // a program must not get the record of a different label
		return h.missing(r, s)
	case place != strings.TrimSuffix(r.URL.Path, "index.html"):
		return redirect(place[1:])
	case differs:
		data, err := s.book.LabelPage(v)
		return h.page(http.StatusOK, data, err)
	}
	pages, err := s.book.Label(v.ID)
	if err != nil {
		return h.lost(r, s, code, err)
	}
	for i := range pages {
		if name := cmp.Or(file, "index.html"); path.Base(pages[i].Name) == name {
			return h.keep(s, place, &pages[i])
		}
	}
	return h.missing(r, s)
}

// lost is shown for a label that this site does not have, or whose record
// cannot be read.
func (h *Handler) lost(r *http.Request, s *snapshot, code record.Code, err error) http.Handler {
	if err != nil && !errors.Is(err, record.ErrNotFound) {
		h.site.Log.Printf("%s: %v", code, err)
		data, err := s.book.Lost(code, err.Error(), depth(r.URL.Path))
		return h.page(http.StatusInternalServerError, data, err)
	}
	data, err := s.book.Unprinted(code, depth(r.URL.Path))
	return h.page(http.StatusNotFound, data, err)
}

// file shows one of the other pages, or a file that belongs to them.
func (h *Handler) file(r *http.Request, s *snapshot) http.Handler {
	name := r.URL.Path[1:]
	if strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	if p := s.page(name); p != nil {
		return h.keep(s, r.URL.Path, p)
	}
	if s.page(name+"/index.html") != nil {
		return redirect(name + "/")
	}
	return h.missing(r, s)
}

// missing is shown where an address leads to nothing: that of a label of another site is told apart.
func (h *Handler) missing(r *http.Request, s *snapshot) http.Handler {
	if now := h.inside(r); now != r { // the link was changed a moment ago
		return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { h.checks.ServeHTTP(w, now) })
	}
	if elsewhere(r.URL.Path) {
		data, err := s.book.Elsewhere(depth(r.URL.Path))
		return h.page(http.StatusNotFound, data, err)
	}
	data, err := s.book.Missing(depth(r.URL.Path))
	return h.page(http.StatusNotFound, data, err)
}
