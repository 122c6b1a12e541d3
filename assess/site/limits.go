package site

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"vouchmark/assess"
)

// The limits of input files. They are far above what a plant needs, and keep a wrong file from
// using all memory.
const (
	mebibyte     = 1 << 20
	longestTable = 64 * mebibyte // locations.csv, devices.csv
	longestTOML  = 4 * mebibyte
	longestCurve = mebibyte
	mostColumns  = 16384   // as many as a spreadsheet has
	mostRows     = 1048576 // likewise
	deepestTOML  = 32      // brackets within brackets and dots in a key, together
)

func sizeLimit(name string) int64 {
	switch {
	case name == locationsFile, name == assess.DevicesFile:
		return longestTable
	case strings.HasSuffix(name, ".toml"):
		return longestTOML
	}
	return longestCurve
}

func mebibytes(n int64) string { return fmt.Sprintf("%d MiB", n/mebibyte) }

// readAtMost reads a file, but no more than one byte beyond most.
func readAtMost(folder fs.FS, name string, most int64) ([]byte, error) {
	if w, ok := folder.(with); ok {
		if w.file == name {
			return w.data, nil
		}
		return readAtMost(w.FS, name, most)
	}
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var b bytes.Buffer
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
		b.Grow(int(min(info.Size(), most) + bytes.MinRead)) // only a hint: what is read counts
	}
	_, err = b.ReadFrom(io.LimitReader(f, most+1))
	return b.Bytes(), err
}

// nestedTooDeep reports a TOML text that is nested deeper than the limit.
func (r *reader) nestedTooDeep(file string, data []byte) bool {
	line := tooDeep(string(data))
	if line > 0 {
		r.report(file, line, "", fmt.Sprintf("more than %d brackets and dotted keys within each other", deepestTOML),
			fmt.Sprintf("at most %d", deepestTOML), "the file was not read; correct this line first")
	}
	return line > 0
}

// tooDeep is the first line of a TOML text that is nested deeper than the limit; 0 for none.
func tooDeep(data string) int {
	line, brackets, dots := 1, 0, 0
	for _, token := range tokens(data) {
		switch token {
		case "[", "{":
			brackets++
		case "]", "}":
			brackets = max(0, brackets-1)
		case ".":
			dots++
		case "=", ",", "\n":
			dots = 0
		}
		if brackets+dots > deepestTOML {
			return line
		}
		line += strings.Count(token, "\n")
	}
	return 0
}
