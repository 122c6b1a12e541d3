package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// large is a workbook of 20,000 rows and 30 columns in the manner of LibreOffice:
// every attribute written out, shared strings, 8 columns of texts, 2 of dates, and 20 of
// numbers with up to 6 digits, a number of them with a format.
func large(t testing.TB, rows int) []byte {
	t.Helper()
	var sheet, strs strings.Builder
	shared := map[string]int{}
	str := func(s string) int {
		n, ok := shared[s]
		if !ok {
			n = len(shared)
			shared[s] = n
			fmt.Fprintf(&strs, `<si><t xml:space="preserve">%s</t></si>`, s)
		}
		return n
	}
	for r := range rows {
		fmt.Fprintf(&sheet, `<row r="%d" customFormat="false" ht="12.8" hidden="false" customHeight="false" outlineLevel="0" collapsed="false">`, r+1)
		for c := range 30 {
			ref := fmt.Sprintf("%s%d", columnName(c), r+1)
			switch {
			case c < 4:
				fmt.Fprintf(&sheet, `<c r="%s" s="0" t="s"><v>%d</v></c>`, ref, str(fmt.Sprintf("PNL-%d-%d", r, c)))
			case c < 8:
				fmt.Fprintf(&sheet, `<c r="%s" s="0" t="s"><v>%d</v></c>`, ref, str(fmt.Sprintf("Room %d-%d", r%300, c)))
			case c < 10:
				fmt.Fprintf(&sheet, `<c r="%s" s="2" t="n"><v>%d</v></c>`, ref, 46000+r%400)
			default:
				fmt.Fprintf(&sheet, `<c r="%s" s="%d" t="n"><v>%.4f</v></c>`, ref, c%2, float64((r*7919+c*104729)%1000000)/10000)
			}
		}
		sheet.WriteString(`</row>`)
	}
	const relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	return bare(t, sheet.String(), "",
		"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="b" Type="`+relation+`/worksheet" Target="worksheets/s.xml"/>`+
			`<Relationship Id="c" Type="`+relation+`/styles" Target="styles.xml"/>`+
			`<Relationship Id="d" Type="`+relation+`/sharedStrings" Target="sharedStrings.xml"/></Relationships>`,
		"xl/styles.xml", `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="General"/><numFmt numFmtId="165" formatCode="0.00&quot; kA&quot;"/><numFmt numFmtId="166" formatCode="yyyy\-mm\-dd"/></numFmts>`+
			`<cellXfs><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="166"/></cellXfs></styleSheet>`,
		"xl/sharedStrings.xml", `<sst>`+strs.String()+`</sst>`)
}

// BenchmarkWorkbook reads 20,000 rows of 30 columns; the document says how long it takes.
// Its peak of memory: go test -bench Workbook -benchtime 1x -run '^$' under
// /usr/bin/time -v, less what the same test binary takes that makes the workbook alone.
func BenchmarkWorkbook(b *testing.B) {
	data := large(b, 20000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("study.xlsx", data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkUnpack only unpacks what BenchmarkWorkbook reads.
func BenchmarkUnpack(b *testing.B) {
	data := large(b, 20000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			b.Fatal(err)
		}
		for _, f := range z.File {
			in, err := f.Open()
			if err != nil {
				b.Fatal(err)
			}
			buf := make([]byte, 1<<16)
			for err == nil {
				_, err = in.Read(buf)
			}
			in.Close()
		}
	}
}

func BenchmarkText(b *testing.B) {
	var text strings.Builder
	for r := range 20000 {
		for c := range 30 {
			if c > 0 {
				text.WriteByte(';')
			}
			if c < 10 {
				fmt.Fprintf(&text, "PNL-%d-%d", r, c)
			} else {
				fmt.Fprintf(&text, "%d,%d", (r*7919+c)%100, c)
			}
		}
		text.WriteByte('\n')
	}
	data := []byte(text.String())
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("study.csv", data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
