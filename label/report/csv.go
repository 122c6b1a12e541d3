package report

import (
	"encoding/csv"
	"io"
	"strings"
)

// CSV writes the list for a spreadsheet program (RFC 4180), a row for each label
// and cause. The byte-order mark tells such a program that the text is UTF-8;
// other programs read the JSON.
func (d *Due) CSV(w io.Writer) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	c.Write([]string{"due", "status", "cause", "kind", "id", "area", "equipment", "code", "printed", "detail", "clears", "too_low"})
	yes := map[bool]string{false: "no", true: "yes"}
	for _, i := range d.Items {
		c.Write([]string{i.Due.String(), i.Status, string(i.Cause), i.Kind, harmless(i.ID), harmless(i.Area),
			harmless(i.Equipment), string(i.Code), yes[i.Printed], harmless(i.Detail), harmless(i.Clears), yes[i.TooLow]})
	}
	c.Flush()
	return c.Error()
}

// Harmless is harmless for other packages.
func Harmless(s string) string { return harmless(s) }

// harmless keeps a spreadsheet program from reading the owner's text as a
// formula: an apostrophe in front makes it text (common practice).
func harmless(s string) string {
	if s = Printable(s); s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}
