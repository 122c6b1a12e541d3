package label

import (
	"strconv"

	"vouchmark/assess"
)

// SlipWords are the words of a job slip in one language.
type SlipWords struct {
	SlipTitle string `toml:"slip_title"`

	SlipDate   string `toml:"slip_date"` // what the job is
	SlipBy     string `toml:"slip_by"`
	SlipJob    string `toml:"slip_job"`
	SlipTotal  string `toml:"slip_total"`
	SlipStock  string `toml:"slip_stock"`
	SlipColor  string `toml:"slip_color"`
	SlipLedger string `toml:"slip_ledger"`
	SlipHead   string `toml:"slip_head"`

	SlipSpot    string `toml:"slip_spot"` // the colors of a stock
	SlipProcess string `toml:"slip_process"`
	SlipBlack   string `toml:"slip_black"`

	SlipKit      string `toml:"slip_kit"` // what is counted
	SlipNoArc    string `toml:"slip_no_arc"`
	SlipNoWork   string `toml:"slip_no_work"`
	SlipMarkings string `toml:"slip_markings"`
	SlipOverlays string `toml:"slip_overlays"`

	SlipRules  string `toml:"slip_rules"` // headings
	SlipColors string `toml:"slip_colors"`
	SlipLabels string `toml:"slip_labels"`
}

// Slip words job slips.
type Slip struct {
	*SlipWords
	words *wording
}

// Slip words a job slip, in the first of the languages of a site.
func (p *Presentation) Slip() *Slip {
	t := p.first()
	return &Slip{&t.SlipWords, t}
}

// Number is a number, written with a point, in the decimal sign of the language.
func (s *Slip) Number(printed string) string { return s.words.number(printed) }

// Total is how much is printed, and how often each.
func (w *SlipWords) Total(all, copies int) string {
	return fill(w.SlipTotal, "total", strconv.Itoa(all), "copies", strconv.Itoa(copies))
}

// Head names the chain head of the ledger before the job.
func (w *SlipWords) Head(head string) string { return fill(w.SlipHead, "head", head) }

// Color says how a stock is colored.
func (w *SlipWords) Color(c assess.Color) string {
	return map[assess.Color]string{assess.Spot: w.SlipSpot, assess.Process: w.SlipProcess, assess.OneColor: w.SlipBlack}[c]
}

// Like is what the labels that are like l are counted as: by signal word and kit.
func (w *SlipWords) Like(l *Label) string {
	signal := l.Words[0].Signal
	switch {
	case l.Danger:
		return fill(w.SlipNoWork, "signal", signal)
	case l.Chosen < 0:
		return fill(w.SlipNoArc, "signal", signal)
	}
	return fill(w.SlipKit, "signal", signal, "kit", l.Ladder[l.Chosen].Kit)
}
