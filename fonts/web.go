package fonts

import (
	"bytes"
	_ "embed"
)

var (
	//go:embed web/RobotoCondensed-Regular.woff2
	webRegular []byte
	//go:embed web/RobotoCondensed-Medium.woff2
	webMedium []byte
	//go:embed web/RobotoCondensed-Bold.woff2
	webBold []byte
)

// WebRange are the characters of the subsets, as CSS and fonttools write them: those of
// English, Spanish, French and other languages of Western Europe, and the signs of the
// labels. README.md says how the subsets are made of it.
const WebRange = "U+20-7E,U+A0-FF,U+131,U+152-153,U+160-161,U+178,U+17D-17E,U+2C6,U+2DC,U+3A9,U+2010-2015,U+2018-201E,U+2020-2022," +
	"U+2026,U+202F,U+2030,U+2032-2033,U+2039-203A,U+20AC,U+2122,U+2126,U+2212,U+2264-2265"

// Web returns a copy of the face as a WOFF2 file with the characters of [WebRange] alone: a
// thirtieth of the whole file, for pages that are read on a phone.
func (f *Face) Web() []byte { return bytes.Clone(f.web) }
