// Package audit looks for whatever was altered, lost or added behind the labels
// of a site: in its ledger, its records, its signatures. It repairs nothing.
//
//	audit.go     the report, and what is checked
//	chain.go     the ledger
//	files.go     the records: which there are, and whether they are what their names say
//	read.go      reading files once, on all cores
//	view.go      the site as it was judged, as far as the report needs it
//	follow.go    whether labels follow from their inputs
//	findings.go  findings that labels were printed with
//	studies.go   the study files, and what names them
//	torn.go      half lines at the end of the ledger
//	log.go       changes.toml, compared with what the ledger notes of it
//	signed.go    signatures
//	accepted.go  findings that a named person takes responsibility for
//	decided.go   who settled changes and reviewed studies
//	copies.go    copies of labels
//	text.go      the report for a person
//	known.go     what the site says about its labels without an audit
//	mirror.go    what a comparison with the mirror found
//	limits.go    what was not checked
package audit

import (
	"errors"
	"fmt"
	"io/fs"
	"regexp"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// Problem is one thing that is wrong, and what to do about it.
type Problem struct {
	Where string `json:"where"` // a file of the site folder, and a line
	What  string `json:"what"`
	Do    string `json:"do"`
}

func (p Problem) String() string {
	return report.Printable(InWords(p.Where) + ": " + InWords(p.What) + "; " + p.Do)
}

// ledgerLine is how programs read the name of a line, see [record.LineName].
var ledgerLine = regexp.MustCompile(`\b` + regexp.QuoteMeta(record.LedgerFile) + `:(\d+)\b`)

// InWords names lines of the ledger as a person reads them: "ledger.jsonl, line 12".
func InWords(text string) string {
	return ledgerLine.ReplaceAllString(text, record.LedgerFile+", line $1")
}

// Report is what an audit found.
type Report struct {
	Site     string      `json:"site"` // "" where no policy could be read
	Today    assess.Date `json:"today"`
	Tool     string      `json:"tool"`
	Head     string      `json:"head"` // of the chain, up to where it is intact
	Lines    int         `json:"lines"`
	Records  int         `json:"records"`
	Studies  int         `json:"studies"` // files in studies/ that lines name
	Prints   int         `json:"prints"`  // labels, markings and overlays, each copy
	First    assess.Date `json:"first,omitzero"`
	Last     assess.Date `json:"last,omitzero"`
	Problems []Problem   `json:"problems"`
	Notes    []string    `json:"notes"`
	Proves   []string    `json:"proves"`

	Standing map[standing.Status]int `json:"standing"` // printed labels; empty where it could not be judged
	TooLow   int                     `json:"too_low"`  // of those in question: printed too low, to be covered
	// Limits are what was not checked, a sentence each; nil for nothing.
	Limits []string `json:"limits"`
	// Mirror is what the mirror has; nil where the audit was not given one.
	Mirror *mirror.Compared `json:"mirror,omitempty"`
	// Names is true where no record was judged again.
	Names bool `json:"-"`
	// Headless is true where no chain head from outside was given, and no mirror shows one.
	Headless bool `json:"-"`
	// Passing is true where a problem may come from another process that is
	// writing right now: a second audit tells.
	Passing bool `json:"-"`

	// Round is the last round; nil where the site cannot be read.
	Round *report.RoundSummary `json:"round,omitempty"`

	Labels     []Label          `json:"labels"`
	Signatures []seal.Signature `json:"signatures"`
	Accepted   []Accepted       `json:"accepted"`
	Decided    []Decided        `json:"decided"` // settlements and reviews
	Findings   []Found          `json:"findings"`
}

// Label is the label of a location that was printed last.
type Label struct {
	ID       string          `json:"id"`
	Area     string          `json:"area,omitempty"`
	Code     record.Code     `json:"code"`
	Printed  assess.Date     `json:"printed"`
	Mounted  assess.Date     `json:"mounted,omitzero"`
	ReviewBy string          `json:"review_by"`
	Standing standing.Status `json:"standing,omitempty"`
	TooLow   bool            `json:"too_low,omitempty"` // more energy is possible than it shows: cover it
	// PrintedBy and MountedBy are those who printed the last copy and who noted that it was
	// mounted; "" where no line says.
	PrintedBy string   `json:"printed_by,omitempty"`
	MountedBy string   `json:"mounted_by,omitempty"`
	Signed    []string `json:"signed_by,omitempty"`
	// Seen is the day on which somebody looked what is on the equipment, Found what it was,
	// and Amiss whether that is not yet put right.
	Seen   assess.Date  `json:"seen,omitzero"`
	Found  record.Found `json:"found,omitempty"`
	SeenBy string       `json:"seen_by,omitempty"`
	Amiss  bool         `json:"not_right,omitempty"`
	Late   bool         `json:"not_seen_for_seen_months,omitempty"`
}

// ErrNoLedger is why there is nothing to audit.
var ErrNoLedger = errors.New("this folder has no ledger.jsonl and no record: nothing has been printed yet, " +
	"or this is not the folder you meant (--site)")

// Options are what an audit is given besides the folder.
type Options struct {
	Noted string        // a chain head that was written down outside the folder; "" for none
	Keys  *seal.Keyring // that are trusted
	Tool  string        // version of the program
	Site  string        // its name; "" where no policy can be read
	// Accept are the acceptances of its policy.
	Accept []assess.Acceptance
	// Mirror is what a comparison with the mirror found, made before the audit; nil for none.
	Mirror *mirror.Compared
	// View is the site as it is, for the standing of its labels (see [Options.See]); nil where it
	// cannot be read, and Why says why.
	View *View
	Why  string
	// Names leaves out what takes longest: no record is judged again. Names, hashes, the
	// chain, study files, the log and signatures are checked as always, and what the report
	// says of a label comes from View.
	Names bool
	// Intact gets the records of which the file was read and has the bytes of its name; nil where nobody asks.
	Intact map[record.ID]bool
	// Progress is called, on several cores at the same time, with how many of all
	// records were read and judged again; nil for nobody.
	Progress func(done, all int)
}

// audit is one audit in progress.
type audit struct {
	*Report
	o       Options
	folder  fs.FS
	empty   bool // there is no ledger
	ledger  *record.Ledger
	replay  *record.Replay
	there   map[string]bool      // records in the folder, by name; nil where it has no folder for them
	strays  []Problem            // what else is in that folder
	records []file               // in the folder or named by lines, by name
	newest  map[record.ID]*about // records of the labels printed last that could be read
	told    map[string]bool      // where there is a problem
	signers map[string][]string  // by record, those whose signature is verified
	named   map[string]*naming   // see sources
	older   int                  // records that other rules judged
	later   int                  // lines after the one of the given chain head
}

// Run audits a site folder, or a copy of its ledger and records.
func Run(folder fs.FS, today assess.Date, o Options) (*Report, error) {
	a := &audit{Report: &Report{Site: o.Site, Today: today, Tool: o.Tool, Problems: []Problem{}, Notes: []string{},
		Standing: map[standing.Status]int{}, Labels: []Label{}, Signatures: []seal.Signature{}}, o: o, folder: folder}
	if err := a.links(); err != nil {
		return nil, err
	}
	look := a.judge()
	if o.Names {
		a.Names, look = true, func(*file, []byte) {}
	}
	a.read(look)
	if err := a.files(); err != nil {
		return nil, err
	}
	if lost := o.Mirror != nil && o.Mirror.Lines > 0; a.empty && a.Records == 0 && len(a.Problems) == 0 && !lost {
		return nil, ErrNoLedger
	}
	a.head()
	if err := a.log(); err != nil {
		return nil, err
	}
	a.lost()
	if o.Names {
		a.seen()
	} else {
		a.follow()
	}
	if err := a.studies(); err != nil {
		return nil, err
	}
	a.unproven()
	if err := a.torn(); err != nil {
		return nil, err
	}
	if err := a.copies(); err != nil {
		return nil, err
	}
	a.signed()
	a.mirror()
	a.printed()
	a.limits()
	return a.Report, nil
}

// links reads the ledger, finds the records, and checks what lines say about each
// other. The ledger is read first: a record that is written meanwhile is then one
// that no line names, which a second audit tells.
func (a *audit) links() error {
	if err := a.chain(); err != nil {
		return err
	}
	if err := a.list(); err != nil {
		return err
	}
	a.lines()
	a.gather()
	return nil
}

func (a *audit) problem(where, do, what string, args ...any) {
	a.add(Problem{where, fmt.Sprintf(what, args...), do})
}

func (a *audit) add(all ...Problem) {
	if a.told == nil {
		a.told = map[string]bool{}
	}
	for _, p := range all {
		a.told[p.Where] = true
	}
	a.Problems = append(a.Problems, all...)
}

func (a *audit) note(text string, args ...any) { a.Notes = append(a.Notes, fmt.Sprintf(text, args...)) }

// head compares the chain with a head that was written down elsewhere.
func (a *audit) head() {
	a.Proves = []string{
		"The chain head is the hash of the ledger's newest line; each line also holds the hash of the line before it. " +
			"If a head that somebody wrote down outside this folder is found in the ledger, then no line up to it, " +
			"and no record that those lines name, was altered, removed, added or moved since then.",
		"It proves nothing about later lines, nor that a line was true when it was written.",
	}
	if proves := a.mirrorProves(); proves != "" {
		a.Proves = append(a.Proves, proves)
	}
	if a.Headless = a.o.Noted == "" && !a.mirrored(); a.Headless {
		a.Proves = append(a.Proves,
			"No chain head from outside was given: removal of the newest lines could not be ruled out.")
		return
	}
	if a.o.Noted == "" {
		return
	}
	for i := len(a.ledger.Lines); i >= 0; i-- {
		if a.ledger.HeadAt(i) != a.o.Noted {
			continue
		}
		added := len(a.ledger.Lines) - i
		a.later = added
		a.Proves = append(a.Proves,
			fmt.Sprintf("The given head is that of line %d; %s added since.", i, report.Plural(added, "line")))
		return
	}
	a.problem(record.LedgerFile, "restore the ledger from a backup, and find out who wrote to it",
		"the given head %s is not in the chain: the newest lines were removed, or the ledger was rewritten", a.o.Noted)
}
