package press

import (
	"cmp"
	"encoding/csv"
	"io"
	"strings"

	"vouchmark/label/report"
)

// The columns of a walk as a spreadsheet, in English in every language: the first
// four are read back, see [ReadWalk]. A person ticks the first one.
const (
	walkDone  = "done"
	walkDo    = "do"
	walkID    = "id"
	walkLabel = "label"
)

var walkColumns = []string{walkDone, walkDo, walkID, walkLabel, "area", "equipment", "label there", "note", "print first"}

// WalkCSV writes a walk for a spreadsheet program (RFC 4180, with the byte-order mark
// that tells such a program that it is UTF-8): a row for each thing to do, and a
// column to tick when it is done.
func WalkCSV(w io.Writer, rows []WalkRow) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	c.Write(walkColumns)
	for i := range rows {
		r := &rows[i]
		c.Write([]string{"", string(r.Do), report.Harmless(r.ID), string(r.label), report.Harmless(r.Area),
			report.Harmless(r.Equipment), string(cmp.Or(r.Off, r.Stays)), report.Harmless(r.Note), report.Harmless(r.First)})
	}
	c.Flush()
	return c.Error()
}

// IsWalk reports whether a file is a walk as [WalkCSV] writes it, with nothing ticked:
// it may be overwritten.
func IsWalk(data []byte) bool {
	text := strings.TrimPrefix(string(data), "\ufeff")
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 || strings.Join(rows[0], ",") != strings.Join(walkColumns, ",") {
		return false
	}
	for _, r := range rows[1:] {
		if strings.TrimSpace(r[0]) != "" {
			return false
		}
	}
	return true
}
