package sheet

import "bytes"

// fileKind says what a file is, from its bytes.
type fileKind struct {
	workbook  bool   // a ZIP archive that may be a workbook
	found, do string // what it is, where it is neither that nor text
}

const (
	saveAs  = "open it in the spreadsheet program and save it as .xlsx"
	askFor  = "ask for the table as .xlsx or .csv: a number that is read off a picture or a page cannot be trusted"
	unpack  = "unpack it, and give the file in it"
	encrypt = "open it with its password and save a copy without password as .xlsx"
)

// signatures are the first bytes of files that are neither workbooks nor text.
var signatures = []struct{ begin, found, do string }{
	{"%PDF-", "a PDF", askFor},
	{"\x89PNG\r\n", "a picture (PNG)", askFor},
	{"\xff\xd8\xff", "a picture (JPEG)", askFor},
	{"GIF8", "a picture (GIF)", askFor},
	{"II*\x00", "a picture (TIFF)", askFor},
	{"MM\x00*", "a picture (TIFF)", askFor},
	{"\x1f\x8b", "a compressed file (gzip)", unpack},
	{"7z\xbc\xaf\x27\x1c", "a compressed file (7z)", unpack},
	{"Rar!\x1a\x07", "a compressed file (RAR)", unpack},
	{`{\rtf`, "a text document (RTF)", askFor},
	{"\x09\x08", "a workbook of the old format (.xls)", saveAs},
	{"\x09\x04", "a workbook of the old format (.xls)", saveAs},
	{"\xff\xfe\x00\x00", "text in UTF-32", `save it from the spreadsheet as .xlsx or as "CSV UTF-8"`},
	{"\x00\x00\xfe\xff", "text in UTF-32", `save it from the spreadsheet as .xlsx or as "CSV UTF-8"`},
}

// compound begins the files of several streams in which old workbooks and
// encrypted new ones are kept ([MS-CFB] 2.2).
const compound = "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

// utf16 is an ASCII text in UTF-16LE, as the names of such streams are.
func utf16(s string) []byte {
	var b []byte
	for _, c := range []byte(s) {
		b = append(b, c, 0)
	}
	return b
}

// kindOf looks at the beginning of a file. A file that it does not recognize may be
// text.
func kindOf(data []byte) fileKind {
	begins := func(s string) bool { return bytes.HasPrefix(data, []byte(s)) }
	switch {
	case len(data) == 0:
		return fileKind{found: "an empty file", do: "ask for the file again"}
	case begins("PK\x03\x04"), begins("PK\x05\x06"):
		return fileKind{workbook: true}
	case begins(compound) && bytes.Contains(data, utf16("EncryptedPackage")):
		return fileKind{found: "a workbook that is protected by a password", do: encrypt}
	case begins(compound) && bytes.Contains(data, utf16("WordDocument")):
		return fileKind{found: "a text document of the old format (.doc)", do: askFor}
	case begins(compound):
		return fileKind{found: "a workbook of the old format (.xls)", do: saveAs}
	case begins("BM") && len(data) > 10 && string(data[6:10]) == "\x00\x00\x00\x00":
		return fileKind{found: "a picture (BMP)", do: askFor}
	case begins("RIFF") && len(data) > 12 && string(data[8:12]) == "WEBP":
		return fileKind{found: "a picture (WebP)", do: askFor}
	case len(data) > 12 && string(data[4:8]) == "ftyp":
		return fileKind{found: "a picture or film (HEIC, MP4)", do: askFor}
	}
	for _, s := range signatures {
		if begins(s.begin) {
			return fileKind{found: s.found, do: s.do}
		}
	}
	return fileKind{}
}
