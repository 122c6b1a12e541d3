package report

import (
	"cmp"
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
)

// findings writes the findings of one level, of each kind the first ones: place, line of the
// file, and the sentence, wrapped and indented.
func findings(v *plant.Plant, b *strings.Builder, level assess.Level, width int) {
	listed := listing{}
	var kinds []assess.Finding // of which there are more
	write := func(id, file string, f assess.Finding) {
		if f.Level != level {
			return
		}
		if !listed.next(&f) {
			if listed.count(&f) == mostOfKind+1 {
				kinds = append(kinds, f)
			}
			return
		}
		head := fmt.Sprintf("%-7s  %s  %s: ", level, padded(id, 8), placed(file, f.Line))
		code := string(f.Code)
		if f.Acceptable() {
			code += "*"
		}
		b.WriteString("\n" + Wrap(f.Field+": "+f.Message+" ["+code+"]", head, strings.Repeat(" ", 19), width))
	}
	for _, f := range v.Findings {
		write(concerns(f.File), cmp.Or(f.File, "site.toml"), f)
	}
	for i := range v.Places {
		for _, f := range v.Places[i].Assessment.Findings {
			write(v.Places[i].ID(), cmp.Or(f.File, "locations.csv"), f)
		}
	}
	for _, f := range kinds {
		text := fmt.Sprintf("%s: %d more of this kind [%s]", f.Field, listed.count(&f)-mostOfKind, f.Code)
		b.WriteString("\n" + Wrap(text, fmt.Sprintf("%-7s  ", level), strings.Repeat(" ", 19), width))
	}
}

// concerns names, by its file, the subject of a finding about the whole site.
func concerns(file string) string {
	switch file {
	case "":
		return "policy"
	case "locations.csv":
		return "rows"
	case assess.DevicesFile:
		return "devices"
	}
	return "log"
}

// placed says where in a file something is, in the words of whoever keeps it: a
// spreadsheet has rows, a text has lines.
func placed(file string, line int) string {
	switch {
	case line == 0:
		return file
	case strings.HasSuffix(file, ".csv"):
		return fmt.Sprintf("%s, row %d", file, line)
	}
	return fmt.Sprintf("%s, line %d", file, line)
}
