package sheet

import (
	"encoding/xml"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// workbook is a workbook that is being read.
type workbook struct {
	*reader
	*parts
	sheets      []sheetPart
	styles      string // the part with the cell styles, "" without
	shared      string // the part with the shared strings, "" without
	date1904    bool   // days are counted from 1904-01-01
	recalculate bool   // do not rely on the stored results of formulas

	strings []string // the shared ones
	formats []format // of the cell styles
	pending []unshown
	showing <-chan error // of the cells that are being filled in; nil where none are
}

// sheetPart is a sheet as the workbook lists it.
type sheetPart struct {
	name, part string
	hidden     bool
	kind       string // "worksheet"; others have no cells
}

// readWorkbook reads a workbook (.xlsx, .xlsm and templates).
func (r *reader) readWorkbook(data []byte) {
	if r.Delimiter != 0 || r.Encoding != "" {
		r.report("", 0, "", "a workbook, which has no delimiter and no encoding", "a text file", "leave both out")
		return
	}
	p, ok := r.openParts(data)
	if !ok {
		return
	}
	w := &workbook{reader: r, parts: p}
	if part, err := w.readContents(); err != nil {
		w.partFault("", part, err)
		return
	}
	chosen := w.choose()
	if len(r.problems) > 0 {
		return
	}
	if err := w.readStyles(); err != nil {
		w.partFault("", w.styles, err)
		return
	}
	if err := w.readStrings(); err != nil {
		w.partFault("", w.shared, err)
		return
	}
	filled := false
	for _, s := range chosen {
		grid := w.readSheet(s)
		if len(r.problems) > 0 {
			return
		}
		filled = filled || len(grid.Rows) > 0
		r.book.Sheets = append(r.book.Sheets, grid)
	}
	if w.date1904 {
		r.notef("The workbook counts days from 1904: compare a date with the report.")
	}
	if !filled {
		r.report(r.Sheet, 0, "", "no filled cell", "a table", "")
	}
}

// readContents reads which sheets and other parts there are. With an error it names
// the part that is wrong.
func (w *workbook) readContents() (part string, err error) {
	target, kind, err := w.relations("")
	if err != nil {
		return "_rels/.rels", err
	}
	main := ""
	for _, id := range slices.Sorted(maps.Keys(target)) {
		if kind[id] == "officeDocument" {
			main = target[id]
		}
	}
	if main == "" {
		return "_rels/.rels", errAbsent
	}
	if target, kind, err = w.relations(main); err != nil {
		return main + ".rels", err
	}
	for _, id := range slices.Sorted(maps.Keys(target)) {
		switch kind[id] {
		case "styles":
			w.styles = target[id]
		case "sharedStrings":
			w.shared = target[id]
		}
	}
	return main, w.walk(main, func(s *stream) error {
		return s.each(func(xml.StartElement) error { // workbook: 18.2.27
			return s.each(func(e xml.StartElement) error {
				switch e.Name.Local {
				case "workbookPr":
					w.date1904 = yes(e, "date1904")
				case "calcPr":
					// A program that cannot calculate asks for that, and stores nothing
					// or 0 as results.
					w.recalculate = yes(e, "fullCalcOnLoad")
				case "sheets":
					return s.each(func(e xml.StartElement) error {
						id := relationID(e)
						w.sheets = append(w.sheets, sheetPart{
							name:   attr(e, "name"),
							part:   target[id],
							hidden: attr(e, "state") != "" && attr(e, "state") != "visible",
							kind:   kind[id],
						})
						return nil
					})
				}
				return nil
			})
		})
	})
}

// relationID is the id by which a sheet's part is found: the attribute id of a
// namespace. A sheetId is another number.
func relationID(e xml.StartElement) string {
	for _, a := range e.Attr {
		if a.Name.Local == "id" && a.Name.Space != "" {
			return a.Value
		}
	}
	return ""
}

// mostNames is how many sheets a message names.
const mostNames = 20

// choose are the sheets to be read; it also reports the others.
func (w *workbook) choose() []sheetPart {
	var chosen []sheetPart
	var names []string
	for _, s := range w.sheets {
		names = append(names, quote(s.name))
		switch {
		case w.Sheet != "" && !strings.EqualFold(s.name, w.Sheet): // no two names differ in their case alone
		case s.kind != "worksheet" && w.Sheet != "":
			w.report(s.name, 0, "", "a sheet without cells ("+s.kind+")", "a sheet of cells", "")
			return nil
		case s.kind != "worksheet":
			w.notef("The sheet %s has no cells (%s) and was not read.", quote(s.name), s.kind)
		case s.hidden && w.Sheet == "":
			w.notef("The sheet %s is hidden and was not read.", quote(s.name))
		default:
			chosen = append(chosen, s)
		}
	}
	switch {
	case len(chosen) > 0:
	case w.Sheet != "":
		if len(names) > mostNames {
			names = append(names[:mostNames:mostNames], "…")
		}
		w.report("", 0, "", "the sheets "+strings.Join(names, ", "), "the sheet "+quote(w.Sheet), "give the name of one of them")
	default:
		w.report("", 0, "", fmt.Sprintf("no visible sheet of cells among %d", len(w.sheets)), "a visible sheet with a table",
			"name the sheet, or show it in the spreadsheet program and save")
	}
	return chosen
}

// readStrings reads the strings that cells refer to by their number (18.4.9).
func (w *workbook) readStrings() error {
	if w.shared == "" {
		return nil
	}
	return w.walk(w.shared, func(s *stream) error {
		return s.each(func(xml.StartElement) error {
			return s.each(func(e xml.StartElement) error {
				if e.Name.Local != "si" {
					return nil
				}
				if len(w.strings) == w.limits.strings {
					return fmt.Errorf("more than %d shared strings", w.limits.strings)
				}
				text, err := s.richText()
				w.strings = append(w.strings, text)
				return err
			})
		})
	})
}
