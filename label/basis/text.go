package basis

import (
	"fmt"
	"io"
	"strings"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// Cautions appear wherever a record is shown.
var Cautions = []string{
	"For qualified persons only. " +
		"These values hold only while the protective devices are maintained and nothing on the electrical system changes.",
	"The results must come from, and be accepted by, a qualified person under the local code. " +
		"The owner of the equipment is responsible for the label. This information does not replace the printed label, " +
		"nor the risk assessment before the task.",
}

// Text writes a view for a person, verdict first.
func (v *View) Text(w io.Writer, width int) error {
	b := &textWriter{width: width}
	r := v.Record
	b.WriteString(report.Wrap(v.verdictLine(), "", "  ", width))
	if v.Strays != nil {
		ids := strings.Join(v.Strays, ", ")
		b.wrap("It was found on the equipment of "+ids+", where it is wrong: at "+ids+" do not use it.", "  ")
	}
	for _, d := range v.Differences {
		b.wrap(d, "  ")
	}
	v.reasons(b)
	b.line("")
	b.WriteString(report.Wrap(label.Where(r), r.Location.ID+"  ", "  ", width))
	b.line("%s", label.Supply(r))
	b.heading("Where each number comes from")
	for _, i := range Items(r) {
		b.item(i.Name, i.Value, i.Why)
	}
	b.noted(NotedOf(r))
	b.accepted(v)
	b.heading("Inputs")
	for _, row := range v.Rows() {
		b.inputs(row)
	}
	for i := range v.Sources {
		for _, item := range v.Sources[i].Items() {
			b.item(item.Name, item.Value, item.Why)
		}
	}
	for _, e := range v.Evaluations {
		b.evaluation(&e)
	}
	b.heading("Margin: how far an input may move")
	b.WriteString(report.HeadroomText(&v.Headroom, width))
	b.changes(v)
	b.heading("Prints")
	for i := range v.Prints {
		p := &v.Prints[i]
		b.WriteString(report.Wrap(p.Words(), fmt.Sprintf("  %s  ", p.Date), strings.Repeat(" ", 14), width))
	}
	if len(v.Prints) == 0 {
		b.line("  not in the ledger")
	}
	if len(v.Signatures) > 0 {
		b.heading("Signatures")
	}
	for _, s := range v.Signatures {
		b.WriteString(report.Wrap(s.By+": "+SignatureWords(s.Verdict)+"; "+s.When(), fmt.Sprintf("  %s  ", s.Date), strings.Repeat(" ", 14), width))
	}
	b.heading("Record")
	b.item("Code", string(v.ID.Code()), "")
	b.item("SHA-256", v.ID.String(), "")
	b.item("Facts in the QR code", label.Facts(r), "")
	b.line("")
	for _, c := range Cautions {
		b.wrap(c, "")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// reasons writes what there is to know about the standing.
func (v *View) reasons(b *textWriter) {
	for i := range v.Standing.Reasons {
		r := &v.Standing.Reasons[i]
		b.wrap(r.Words(), "  ")
		if r.Clears != "" {
			b.wrap("-> "+r.Clears, "     ")
		}
	}
	if s := v.Standing.Screening; s != nil {
		b.wrap(s.Words(), "  ")
	}
	for i := range v.Standing.Against {
		b.wrap(v.Standing.Against[i].Words(), "  ")
	}
}

// SignatureWords say what a signature is worth.
func SignatureWords(v seal.Verdict) string {
	return map[seal.Verdict]string{
		seal.Verified:  "verified by a key that this site trusts",
		seal.Untrusted: "not verified: this site does not trust its key",
		seal.Broken:    "BROKEN: it does not match this record",
	}[v]
}

// textWriter writes headings and wrapped text.
type textWriter struct {
	strings.Builder
	width int
}

func (b *textWriter) line(format string, args ...any) {
	b.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " ") + "\n")
}

func (b *textWriter) heading(s string) { b.line("\n%s", strings.ToUpper(s)) }

func (b *textWriter) item(name, value, why string) {
	head := fmt.Sprintf("  %-32s ", name)
	if value == "" {
		b.line("%s", head)
	} else {
		b.WriteString(report.Wrap(value, head, "    ", b.width))
	}
	if why != "" {
		b.wrap(why, "      ")
	}
}

func (b *textWriter) wrap(s, indent string) {
	b.WriteString(report.Wrap(s, indent, indent, b.width))
}

// noted writes the findings that the label had when it was printed.
func (b *textWriter) noted(all []Noted) {
	if len(all) > 0 {
		b.heading("Findings of the program when it was printed")
	}
	for _, n := range all {
		b.wrap(n.Text()+" ["+string(n.Code)+"]", "  ")
	}
}

// evaluation writes the steps of one row, or why it was not recomputed.
func (b *textWriter) evaluation(e *Evaluation) {
	if e.Differs != "" {
		b.line("")
		b.wrap("DIFFERS: "+e.Differs, "")
	}
	if e.Result == nil {
		b.heading("Not recomputed")
		if e.Case != "" {
			e.Reason = e.Case + ": " + e.Reason
		}
		b.wrap(e.Reason, "  ")
		if e.Proven != nil {
			b.wrap(e.ProvenWords(), "  ")
		}
		return
	}
	b.heading("Steps by " + e.Method.Standard() + report.After(", case ", e.Case))
	b.WriteString(report.Steps(e.Result, b.width))
	for _, c := range e.Result.CautionTexts() {
		b.wrap("caution: "+c, "  ")
	}
}

// inputs writes the filled cells of one row, each with its column.
func (b *textWriter) inputs(row assess.Row) {
	var parts []string
	for _, c := range row.Cells() {
		parts = append(parts, c.Column+" "+c.Value)
	}
	b.wrap(strings.Join(parts, " · "), "  ")
}

// changes writes what the log says about the location.
func (b *textWriter) changes(v *View) {
	if len(v.Changes)+len(v.Reviews) > 0 {
		b.heading("Changes")
	}
	for _, c := range v.Changes {
		b.wrap(c.Date.String()+"  "+c.Words()+": "+c.Why, "  ")
	}
	if v.MoreChanges > 0 {
		b.line("  and %d older ones", v.MoreChanges)
	}
	for _, r := range v.Reviews {
		b.wrap(r.Date.String()+"  "+r.Words(), "  ")
	}
}
