package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Only Excelize knows how numbers look in their number formats. It gets a new workbook
// with the numbers and formats of this one and nothing else from the file, so that it
// reads only what was checked here.

// unshown is a cell whose number format is still to be applied.
type unshown struct {
	cell *Cell
	look look
}

// showAtOnce is how many cells are shown at once, which limits the memory that this
// takes.
const showAtOnce = 16384

// perRow is how many of them make a row of the workbook in which they are shown.
const perRow = 256

// look is what decides how a number is shown.
type look struct {
	value string // as it is stored
	id    int    // of its number format
	code  string // of one that is the workbook's own
}

// show begins to fill in Shown of the pending cells, while more cells are read. Its
// error is about earlier cells.
func (w *workbook) show() error {
	if err := w.allShown(); err != nil {
		return err
	}
	cells, done := w.pending, make(chan error, 1)
	w.pending, w.showing = nil, done
	go func() { done <- w.fill(cells) }()
	return nil
}

// allShown waits until no cell is being filled in.
func (w *workbook) allShown() error {
	if w.showing == nil {
		return nil
	}
	err := <-w.showing
	w.showing = nil
	return err
}

// fill fills in Shown of cells.
func (w *workbook) fill(cells []unshown) error {
	at := map[look]int{}
	var looks []look
	for _, u := range cells {
		if _, ok := at[u.look]; !ok {
			at[u.look] = len(looks)
			looks = append(looks, u.look)
		}
	}
	if len(looks) == 0 {
		return nil
	}
	shown, err := w.inFormat(looks)
	if err != nil {
		return err
	}
	for _, u := range cells {
		u.cell.Shown = shown[at[u.look]]
		if u.cell.Kind == Text && u.cell.Shown == "" {
			u.cell.Shown = u.look.value // a time of day that its format does not show
		}
	}
	return nil
}

// inFormat is how numbers look in their number formats. A date in the form that
// every reader's own settings decide is shown as 2026-03-14.
func (w *workbook) inFormat(looks []look) (shown []string, err error) {
	defer func() {
		if p := recover(); p != nil { // of a number format that nobody expected
			err = fmt.Errorf("a number format that cannot be applied: %v", p)
		}
	}()
	const most = 256 * mebibyte
	f, err := excelize.OpenReader(bytes.NewReader(w.bareWorkbook(looks)), excelize.Options{
		ShortDatePattern:  "yyyy-mm-dd",
		UnzipSizeLimit:    most,
		UnzipXMLSizeLimit: most, // nothing goes to the disk
	})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := f.Rows("N")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	shown = make([]string, 0, len(looks))
	for rows.Next() {
		cells, err := rows.Columns()
		if err != nil {
			return nil, err
		}
		for i := 0; i < perRow && len(shown) < len(looks); i++ {
			s := "" // of cells that show nothing those at the end of a row are left out
			if i < len(cells) {
				s = blanks(cells[i])
			}
			shown = append(shown, s)
		}
	}
	if len(shown) != len(looks) {
		return nil, fmt.Errorf("%d of %d numbers could not be shown: %v", len(looks)-len(shown), len(looks), rows.Error())
	}
	return shown, nil
}

// bareWorkbook is a workbook with numbers in their formats, one behind the other.
func (w *workbook) bareWorkbook(looks []look) []byte {
	var sheet, formats, styles strings.Builder
	style := map[look]int{} // of the bare workbook, by a look without value; 0 has no format
	for i, l := range looks {
		f := look{id: l.id, code: l.code}
		if style[f] == 0 {
			style[f] = len(style) + 1
			id := f.id
			if f.code != "" {
				id = 1000 + style[f]
				fmt.Fprintf(&formats, `<numFmt numFmtId="%d" formatCode="%s"/>`, id, xmlText(f.code))
			}
			fmt.Fprintf(&styles, `<xf numFmtId="%d"/>`, id)
		}
		if i%perRow == 0 {
			if i > 0 {
				sheet.WriteString("</row>")
			}
			sheet.WriteString("<row>")
		}
		fmt.Fprintf(&sheet, `<c s="%d"><v>%s</v></c>`, style[f], l.value)
	}
	sheet.WriteString("</row>")
	const (
		head     = `<?xml version="1.0" encoding="UTF-8"?>`
		main     = ` xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		office   = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		relation = head + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">%s</Relationships>`
		content  = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	part := func(name, text string, args ...any) {
		p, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err == nil {
			fmt.Fprintf(p, text, args...)
		} // writing to memory does not fail
	}
	part("[Content_Types].xml", head+`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">`+
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>`+
		`<Override PartName="/xl/workbook.xml" ContentType="`+content+`sheet.main+xml"/>`+
		`<Override PartName="/xl/styles.xml" ContentType="`+content+`styles+xml"/>`+
		`<Override PartName="/xl/worksheets/sheet1.xml" ContentType="`+content+`worksheet+xml"/></Types>`)
	part("_rels/.rels", relation, `<Relationship Id="r1" Type="`+office+`/officeDocument" Target="xl/workbook.xml"/>`)
	part("xl/_rels/workbook.xml.rels", relation, `<Relationship Id="r1" Type="`+office+`/worksheet" Target="worksheets/sheet1.xml"/>`+
		`<Relationship Id="r2" Type="`+office+`/styles" Target="styles.xml"/>`)
	part("xl/workbook.xml", head+`<workbook`+main+` xmlns:r="`+office+`"><workbookPr date1904="%t"/>`+
		`<sheets><sheet name="N" sheetId="1" r:id="r1"/></sheets></workbook>`, w.date1904)
	part("xl/styles.xml", head+`<styleSheet`+main+`><numFmts>%s</numFmts><cellXfs><xf numFmtId="0"/>%s</cellXfs></styleSheet>`,
		&formats, &styles)
	part("xl/worksheets/sheet1.xml", head+`<worksheet`+main+`><sheetData>%s</sheetData></worksheet>`, &sheet)
	z.Close()
	return out.Bytes()
}

// xmlText is a text as an attribute of an XML element.
func xmlText(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // writing to memory does not fail
	return b.String()
}
