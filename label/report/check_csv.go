package report

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// CSV writes it for a spreadsheet program (RFC 4180): a row for each location and finding, and
// one for a location without a finding. What a label says is there only where it holds or is
// ready to print. A row without an id is about the site as a whole. The byte-order mark tells
// such a program that the text is UTF-8.
func (c *Check) CSV(w io.Writer) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	head := []string{"id", "area", "equipment", "would_print", "not_printed", "state", "standing", "level", "finding", "file", "row", "column",
		"message", "accepted_by"}
	for _, n := range restudyNumbers {
		head = append(head, n.name+n.unit)
	}
	out.Write(head)
	numbers := len(restudyNumbers)
	of := func(f *assess.Finding, file string) []string {
		if f == nil {
			return make([]string, 7)
		}
		line := ""
		if f.Line > 0 {
			line = fmt.Sprint(f.Line)
		}
		return []string{string(f.Level), string(f.Code), cmp.Or(f.File, file), line, harmless(f.Field), harmless(f.Message), harmless(f.AcceptedBy)}
	}
	v := c.plant
	for i := range v.Findings {
		if f := &v.Findings[i]; f.Level == assess.Error || !c.filter.Errors {
			out.Write(slices.Concat(make([]string, 7), of(f, "site.toml"), make([]string, numbers)))
		}
	}
	listed := listing{}
	for i := range v.Places {
		p := &v.Places[i]
		l := p.Assessment.Location
		prints, why, says := "yes", "", ""
		if l.Unlabeled {
			prints = "no"
		} else if r := p.Refusal(false); r != nil {
			prints, why = "no", r.Why
		}
		if p.Printed != nil {
			says = StandingWords(&p.Printed.Standing)
		}
		row := []string{harmless(l.ID), harmless(l.Area), harmless(l.Equipment), prints, harmless(why), p.State(), says}
		values := make([]string, numbers)
		if instead(p) == "" && p.Record != nil {
			for k, n := range restudyNumbers {
				values[k] = harmless(n.of(p.Record))
			}
		}
		written := false
		few, more := listed.fewer(p.Assessment.Findings)
		for k := range few {
			f := &few[k]
			if more > 0 && f.Code == assess.Unreadable {
				f.Message += fmt.Sprintf("; %s of its rows cannot be read either", Plural(more, "more cell"))
				more = 0
			}
			if f.Level == assess.Error || !c.filter.Errors {
				out.Write(slices.Concat(row, of(f, "locations.csv"), values))
				written = true
			}
		}
		if !written {
			out.Write(slices.Concat(row, of(nil, ""), values))
		}
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		if u.Standing.Status == standing.Withdrawn {
			continue
		}
		row := []string{harmless(u.ID), harmless(u.Area()), "", "no", "locations.csv no longer has its row", string(u.Standing.Status), StandingWords(&u.Standing)}
		out.Write(slices.Concat(row, of(nil, ""), make([]string, numbers)))
	}
	out.Flush()
	return out.Error()
}
