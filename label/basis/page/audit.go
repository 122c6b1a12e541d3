package page

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/audit"
	"vouchmark/label/basis"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Audit is what the auditor's pages show.
type Audit struct {
	Report *audit.Report // nil where none was made
	Why    string        // why none could be made; "" where nobody asked for one yet
}

// mostAudited is how many entries of a kind the auditor's page lists. The report has all.
const mostAudited = 200

// auditPage is the auditor's page. For files it names no day: they name it on all pages.
type auditPage struct {
	Report *audit.Report // without its labels; nil for none
	Known  *audit.Report // signatures, acceptances and findings: of the audit, or where it is not of this ledger and day, as the site has them
	Why    string
	Day    string // of the audit; "" for files
	Old    bool   // lines were added to the ledger since
	Counts string // of the labels by their standing
	Labels int
	More   map[string]int // by kind, how many are not listed
	Open   []basis.OpenChange
	Study  []study
	Round  *report.RoundSummary // without its day; nil where nobody makes rounds
	Live   *Live
}

// study is a file in studies/ that lines of the ledger name.
type study struct {
	File, SHA256, Date, By string // Date and By of who took it in; "" where nobody did
}

// auditLabel is the label of a location as an auditor sees it.
type auditLabel struct {
	audit.Label
	Equipment string
	Earlier   int // labels of the location that it replaced
}

type auditLabels struct {
	Labels []auditLabel
	part
}

// AuditPages are the auditor's pages: what an audit found, and the labels with the days
// on which they were printed and mounted.
func (b *Book) AuditPages(made Audit) []Page {
	p, v := b.set(), b.Shelf.Site
	d := auditPage{Why: made.Why, Live: b.Live, More: map[string]int{}, Open: b.Shelf.Open()}
	d.Old = made.Report != nil && made.Report.Head != v.History.Ledger.Head()
	var lists audit.Report
	if made.Report != nil && !d.Old && made.Report.Today == v.Today {
		lists = *made.Report
	} else {
		lists = b.known()
	}
	if lists.Round.Any() {
		round := *lists.Round
		round.Today, round.Open = assess.Date{}, false
		d.Round = &round
	}
	labels := b.auditLabels(lists.Labels)
	lists.Signatures = most(d.More, "signatures", lists.Signatures)
	lists.Accepted = most(d.More, "acceptances", lists.Accepted)
	lists.Decided = most(d.More, "decisions", lists.Decided)
	d.Known = &audit.Report{Signatures: lists.Signatures, Accepted: lists.Accepted, Decided: lists.Decided, Findings: lists.Findings}
	if made.Report != nil {
		r := *made.Report
		d.Counts, d.Labels = standings(&r), len(r.Labels)
		if r.Labels, r.Tool = nil, ""; b.Live != nil {
			d.Day = r.Today.String()
		}
		r.Today = assess.Date{}
		r.Problems = most(d.More, "problems", r.Problems)
		r.Notes = most(d.More, "notes", r.Notes)
		r.Signatures, r.Accepted, r.Decided, r.Findings, r.Round = nil, nil, nil, nil, nil
		d.Report = &r
	}
	d.Open = most(d.More, "changes", d.Open)
	d.Study = most(d.More, "studies", studiesOf(v.History.Replay.Studies))
	pages := []Page{planned(p, "audit/index.html", d, (*setting).audit)}
	return append(pages, inParts("audit/labels/", "index.html", labels, perPage, func(name string, some []auditLabel, at part) Page {
		return planned(p, name, auditLabels{some, at}, (*setting).auditLabels)
	})...)
}

// known is what the site says of its labels without an audit.
func (b *Book) known() audit.Report {
	return *b.knows.of(func() *audit.Report { return audit.Known(b.Shelf.Site) })
}

// Sign is the sign of its standing.
func (l *auditLabel) Sign() basis.Sign {
	if l.TooLow {
		return basis.Cover
	}
	return basis.Sign(l.Standing)
}

// most is the beginning of a list. How much more there is, is noted.
func most[T any](more map[string]int, kind string, all []T) []T {
	some, rest := first(all, mostAudited)
	if rest > 0 {
		more[kind] = rest
	}
	return some
}

func (b *Book) auditLabels(all []audit.Label) (labels []auditLabel) {
	for _, l := range all {
		one := auditLabel{Label: l}
		printing, _ := b.Shelf.Site.History.Last(l.ID)
		one.Earlier = len(printing.Earlier)
		if r := printing.Record; r != nil {
			one.Equipment = r.Location.Equipment
		}
		labels = append(labels, one)
	}
	return labels
}

// standings counts the labels of a report.
func standings(r *audit.Report) string {
	var parts []string
	for _, s := range slices.Backward(standing.States) {
		if r.Standing[s] > 0 {
			parts = append(parts, r.Counted(s))
		}
	}
	return strings.Join(parts, ", ")
}

// studiesOf are the study files, in the order in which lines name them.
func studiesOf(named map[string]*record.Study) (all []study) {
	sorted := slices.SortedFunc(maps.Values(named), func(a, b *record.Study) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.File, b.File))
	})
	for _, s := range sorted {
		one := study{File: s.File, SHA256: s.SHA256}
		if s.Taken != nil {
			one.Date, one.By = s.Taken.Date.String(), s.Taken.By
		}
		all = append(all, one)
	}
	return all
}

func (s *setting) audit(p auditPage) ([]byte, error) {
	return s.render("audit.html", "Audit", "", 1, &p)
}

func (s *setting) auditLabels(p auditLabels) ([]byte, error) {
	return s.render("audited.html", "What was printed and mounted", "", 2, &p)
}
