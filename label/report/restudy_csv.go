package report

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// restudyNumbers are the columns that exist for before and for now: their name,
// their unit, and what a label prints there without its unit.
var restudyNumbers = []struct {
	name, unit string
	of         func(r *record.Record) string
}{
	{"signal", "", func(r *record.Record) string {
		if r.Status == "" {
			return ""
		}
		return string(r.Signal)
	}},
	{"kit", "", func(r *record.Record) string { return cmp.Or(r.Kit, string(r.Status)) }},
	{"energy", "_cal_cm2", func(r *record.Record) string {
		cal, _ := assess.PrintedBound(r.Energy.Value, r.Energy.Bound)
		return orNothing(cal)
	}},
	{"energy_bound", "", func(r *record.Record) string { return string(r.Energy.Bound) }},
	{"boundary", "_in", func(r *record.Record) string { return orNothing(float64(assess.PrintedInches(r.BoundaryToPrint))) }},
	{"boundary", "_mm", func(r *record.Record) string { return orNothing(float64(assess.PrintedMM(r.BoundaryToPrint))) }},
	{"distance", "_in", func(r *record.Record) string { return orNothing(float64(assess.PrintedInches(r.Location.Distance))) }},
	{"distance", "_mm", func(r *record.Record) string { return orNothing(float64(assess.PrintedMM(r.Location.Distance))) }},
	{"voltage", "_v", func(r *record.Record) string { return orNothing(r.Location.Voltage) }},
	{"supply", "", func(r *record.Record) string { return string(r.Location.Supply) }},
	{"fault", "_ka", func(r *record.Record) string { return orNothing(assess.PrintedKA(r.Fault.Value)) }},
	{"glove_class", "", func(r *record.Record) string { return r.Glove.Class }},
	{"prepared", "", func(r *record.Record) string { return r.Prepared.String() }},
	{"review_by", "", func(r *record.Record) string { return r.ReviewBy.String() }},
}

// orNothing is a number, or "" if it is not known.
func orNothing[T ~float64](x T) string {
	if x == 0 {
		return ""
	}
	return assess.Number(x)
}

// RestudyCSV writes a restudy for a spreadsheet program (RFC 4180), a row for
// each location, with the numbers as labels print them. The byte-order mark tells
// such a program that the text is UTF-8.
func RestudyCSV(w io.Writer, r *plant.Restudy) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	head := []string{"effect", "id", "area", "equipment", "row", "in_study", "to_print", "hazard", "too_low", "not_printed", "differences", "do",
		"printed_code", "new_code", "already"}
	for _, n := range restudyNumbers {
		head = append(head, n.name+"_before"+n.unit, n.name+"_now"+n.unit)
	}
	c.Write(head)
	yes := map[bool]string{false: "no", true: "yes"}
	for i := range r.Rows {
		row := &r.Rows[i]
		l := lineOf(row)
		printed := ""
		if row.Printed != nil {
			printed = string(row.Printed.ID.Code())
		}
		cells := []string{string(row.Effect), harmless(row.ID), harmless(row.Area), harmless(row.Equipment), string(row.Row), yes[row.InStudy],
			yes[row.ToPrint()], string(row.Hazard), harmless(strings.Join(l.Low, "; ")), harmless(l.Refused), harmless(l.differences()), l.Do,
			printed, string(row.Code), yes[row.Already]}
		for _, n := range restudyNumbers {
			for _, says := range []*record.Record{row.Before, row.After} {
				text := ""
				if says != nil {
					text = harmless(n.of(says))
				}
				cells = append(cells, text)
			}
		}
		c.Write(cells)
	}
	c.Flush()
	return c.Error()
}

// differences lists how the two differ, apart from the numbers.
func (l *RestudyLine) differences() string {
	var parts []string
	for _, o := range l.Others {
		parts = append(parts, fmt.Sprintf("%s %s → %s", o.What, o.Before, o.Now))
	}
	return strings.Join(parts, "; ")
}
