package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"vouchmark/assess/infile"
)

// StudiesFolder is where a site folder keeps the study files that were taken in,
// and each locations.csv that one of them replaced. No file there is written twice.
const StudiesFolder = "studies"

// MostStudy is the largest size of such a file in bytes: the same as for locations.csv.
const MostStudy = 64 << 20

// Stored is a file in studies/ as a line of the ledger names it.
type Stored struct {
	File   string `json:"file"` // its name there, see [StudyFile]
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// stored is what a line says about a file.
func stored(k Kept) *Stored { return &Stored{k.Name, SHA256(k.Data), int64(len(k.Data))} }

// SHA256 is the hash of a file in hexadecimal, as in lines of the ledger.
func SHA256(data []byte) string { return hash(data) }

// Path is where a site folder keeps the file, with slashes.
func (s *Stored) Path() string { return StudyPath(s.File) }

// StudyPath is where a site folder keeps a file of studies/, with slashes.
func StudyPath(file string) string { return StudiesFolder + "/" + file }

// valid reports whether a line can name such a file.
func (s *Stored) valid() bool {
	return StudyFile(s.File) && isSHA256(s.SHA256) && s.Bytes > 0 && s.Bytes <= MostStudy
}

func isSHA256(s string) bool {
	b, err := hex.DecodeString(s)
	return err == nil && len(b) == sha256.Size && s == strings.ToLower(s)
}

// A name in studies/ is the same file on every system and in an archive, is one
// word in the column source, and has an extension. Windows reserves some names for
// devices, whatever their extension.
var (
	studyForm = regexp.MustCompile(`^[0-9A-Za-z]([0-9A-Za-z_.-]*[0-9A-Za-z])?\.[A-Za-z][0-9A-Za-z]{0,5}$`)
	reserved  = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])\.`)
	extension = regexp.MustCompile(`^\.[A-Za-z][0-9A-Za-z]{0,5}$`)
	notInName = regexp.MustCompile(`[^0-9A-Za-z_.]+`)
	dots      = regexp.MustCompile(`\.{2,}`)
)

// longestStem is the longest name in studies/, without its number and extension,
// so that the column source has room for it and the sheet.
const longestStem = 80

// StudyFile reports whether studies/ can keep a file under a name.
func StudyFile(name string) bool {
	return studyForm.MatchString(name) && !strings.Contains(name, "..") && !reserved.MatchString(name) &&
		len(name) <= longestStem+len("-9999.abcdef")
}

// studyBase is the name of a file in studies/ if no other file were there: its own
// name without accents, with a hyphen for each run of blanks and of characters that
// some system does not allow in a name.
func studyBase(file string, data []byte) (stem, ext string) {
	name := file[strings.LastIndexAny(file, `/\`)+1:]
	name = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1 // the accent of the letter before it
		}
		return r
	}, norm.NFD.String(strings.TrimSpace(name)))
	stem, ext = strings.TrimSuffix(name, path.Ext(name)), path.Ext(name)
	if !extension.MatchString(ext) {
		stem, ext = name, ".txt"
		if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
			ext = ".xlsx"
		}
	}
	stem = strings.Trim(dots.ReplaceAllString(notInName.ReplaceAllString(stem, "-"), "."), "-._")
	if len(stem) > longestStem {
		stem = strings.TrimRight(stem[:longestStem], "-._")
	}
	if stem == "" {
		stem = "study"
	}
	if reserved.MatchString(stem + ".") {
		stem = "study-" + stem
	}
	return stem, ext
}

// beforeBase is the name in studies/ for the locations.csv that a study replaced:
// R-2.locations-before.csv for R-2.xlsx.
func beforeBase(study string) (stem, ext string) {
	const before = ".locations-before"
	stem = strings.TrimSuffix(study, path.Ext(study))
	return strings.TrimRight(stem[:min(len(stem), longestStem-len(before))], "-._") + before, ".csv"
}

// numbered is the n-th name of a series, from 1: R.xlsx, R-2.xlsx, R-3.xlsx.
func numbered(stem, ext string, n int) string {
	if n == 1 {
		return stem + ext
	}
	return fmt.Sprintf("%s-%d%s", stem, n, ext)
}

// StudyName is the name in studies/ for a file to be taken in: its own, made valid
// on every system, and with a number if another file already has it. The same bytes
// under the same name get that name again. It looks for names in the folder and in
// the ledger: the name of a lost file is not given to another.
func StudyName(folder fs.FS, file string, data []byte) (string, error) {
	l, err := ledgerOf(folder)
	if err != nil {
		return "", err
	}
	n, err := l.names(folder)
	if err != nil {
		return "", err
	}
	stem, ext := studyBase(file, data)
	return n.free(stem, ext, data)
}

func ledgerOf(folder fs.FS) (*Ledger, error) {
	data, err := infile.Read(folder, LedgerFile, MostLedger)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return ParseLedger(data)
}

// names are the names in use in studies/. Capitals do not count, since some systems
// ignore them.
type names struct {
	folder fs.FS
	there  map[string]string  // as the folder spells them
	known  map[string]*Stored // that lines of the ledger name
}

func (l *Ledger) names(folder fs.FS) (*names, error) {
	n := &names{folder, map[string]string{}, map[string]*Stored{}}
	entries, err := fs.ReadDir(folder, StudiesFolder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, e := range entries {
		n.there[strings.ToLower(e.Name())] = e.Name()
	}
	for i := range l.Lines {
		for _, s := range []*Stored{l.Lines[i].Study, l.Lines[i].Before} {
			if s != nil {
				n.known[strings.ToLower(s.File)] = s
			}
		}
	}
	return n, nil
}

// free is the first name of a series under which no other file is or was kept.
func (n *names) free(stem, ext string, data []byte) (string, error) {
	sum := SHA256(data)
	for i := 1; i <= 9999; i++ {
		name := numbered(stem, ext, i)
		key := strings.ToLower(name)
		known, there := n.known[key], n.there[key]
		switch {
		case known != nil && known.SHA256 == sum:
			return known.File, nil
		case known != nil:
		case there == "":
			return name, nil
		case StudyFile(there):
			if same, err := n.same(there, data); same || err != nil {
				return there, err
			}
		}
	}
	return "", fmt.Errorf("%s already has 9,999 files named %s: rename the file", StudiesFolder, stem+ext)
}

// same reports whether a file in studies/ has the bytes.
func (n *names) same(name string, data []byte) (bool, error) {
	name = StudyPath(name)
	info, err := fs.Lstat(n.folder, name)
	if err != nil || !info.Mode().IsRegular() || info.Size() != int64(len(data)) {
		return false, err
	}
	is, err := infile.Read(n.folder, name, MostStudy)
	return bytes.Equal(is, data), err
}
