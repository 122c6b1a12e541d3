package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestOtherKinds: every other kind of file is refused by its name, with what to do.
func TestOtherKinds(t *testing.T) {
	var locked bytes.Buffer
	f := excelize.NewFile()
	f.SetCellValue("Sheet1", "A1", "id")
	if err := f.Write(&locked, excelize.Options{Password: "secret"}); err != nil {
		t.Fatal(err)
	}
	flagged := bare(t, row1, "")
	flagged[6] |= 1                                            // the first local header
	flagged[bytes.Index(flagged, []byte("PK\x01\x02"))+8] |= 1 // and its twin in the directory
	for _, c := range []struct {
		reason string
		data   []byte
		want   string
	}{
		{"old workbook of LibreOffice", fixture(t, "small.xls"), "a workbook of the old format (.xls), expected a workbook (.xlsx) or a text file (.csv, .txt); " + saveAs},
		{"OpenDocument of LibreOffice", fixture(t, "small.ods"), "an OpenDocument file (.ods or another), expected a workbook (.xlsx) or a text file (.csv, .txt); " + saveAs},
		{"flat OpenDocument", fixture(t, "small.fods"), "a web page or another text in tags"},
		{"password", locked.Bytes(), "a workbook that is protected by a password"},
		{"password of an archive", flagged, "an archive that is protected by a password"},
		{"empty", nil, "an empty file"},
		{"blank", []byte(" \n,,\n"), "no filled cell"},
		{"PDF", []byte("%PDF-1.7\n"), "a PDF"},
		{"PNG", []byte("\x89PNG\r\n\x1a\n"), "a picture (PNG)"},
		{"JPEG", []byte("\xff\xd8\xff\xe0"), "a picture (JPEG)"},
		{"WebP", []byte("RIFF\x00\x01\x00\x00WEBPVP8 "), "a picture (WebP)"},
		{"HEIC", []byte("\x00\x00\x00\x18ftypheic\x00"), "a picture or film"},
		{"BMP", []byte("BM\x36\x00\x0c\x00\x00\x00\x00\x00\x36\x00"), "a picture (BMP)"},
		{"gzip", []byte("\x1f\x8b\x08"), "a compressed file (gzip)"},
		{"web page", []byte("<HTML><table><tr><td>1"), "a web page"},
		{"web page with mark", []byte(markUTF8 + "\n<?xml version='1.0'?><Workbook/>"), "a web page"},
		{"binary workbook", bare(t, row1, "", "xl/workbook.bin", "x"), "a binary workbook (.xlsb)"},
		{"document", bare(t, row1, "", "word/document.xml", "x"), "a text document (.docx)"},
		{"archive", []byte("PK\x05\x06" + strings.Repeat("\x00", 18)), "a ZIP archive that is not a workbook"},
	} {
		if got := refusal(t, c.data, Options{}); !strings.Contains(got, "found "+c.want) || c.want != "no filled cell" && !strings.Contains(got, "; ") {
			t.Errorf("%s: got %s", c.reason, got)
		}
	}
	// Words that begin like a picture.
	if b := mustRead(t, []byte("BMS-1,480\nBMS-2,480\n"), Options{}); len(b.Sheets[0].Rows) != 2 {
		t.Errorf("got %v", b.Sheets)
	}
}
