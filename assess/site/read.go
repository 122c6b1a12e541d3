package site

import (
	"errors"
	"io/fs"
	"maps"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

const (
	policyFile    = assess.PolicyFile
	locationsFile = assess.LocationsFile
)

// Options are what a reader needs from above.
type Options struct {
	// Missing returns the characters of a text that a label cannot show. A nil Missing
	// accepts every character.
	Missing func(string) []rune
	// Languages are the languages that labels can have; nil for English only.
	Languages []string
	// Command words the command of a remedy; nil names only what it does.
	Command func(act assess.Act, on string) string
}

// Read reads a site folder. Its error is a Problems.
func Read(folder fs.FS, o Options) (*assess.Site, error) {
	return readSite(folder, o, nil)
}

func readSite(folder fs.FS, o Options, near Near) (*assess.Site, error) {
	r := newReader(folder, o)
	r.near = near
	rows := r.ahead(locationsFile, (*reader).noLocations)
	r.readPolicy()
	r.readLocations(rows())
	if !r.logged {
		r.readLog()
	}
	r.readDevices()
	return &r.site, r.err()
}

// ReadPolicy reads only site.toml, for what needs no study results.
func ReadPolicy(folder fs.FS, o Options) (*assess.Policy, error) {
	r := newReader(folder, o)
	r.readPolicy()
	return &r.site.Policy, r.err()
}

// CheckLog reads only changes.toml, as far as it can be read without the rows and curves that it
// names. A folder without one has no problem.
func CheckLog(folder fs.FS, o Options) error {
	r := newReader(folder, o)
	r.alone = true
	r.readLog()
	return r.err()
}

// ReadTexts reads a TOML file of texts, such as the wording of a language: want has its keys, and
// whether each is a list of texts. must says which of them the file must have. A single text
// comes as a list of one; what is not in the file, or wrong, is not in the result. Its error is a
// Problems.
func ReadTexts(folder fs.FS, file string, want map[string]bool, must func(key string) bool, o Options) (map[string][]string, error) {
	r := newReader(folder, o)
	out := map[string][]string{}
	n := r.readTOML(file, nil)
	if n == nil {
		return out, r.err()
	}
	n.kind = kindWording
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if want[key] {
			if l := n.list(key, must(key)); len(l) > 0 {
				out[key] = l
			}
		} else if s := n.text(key, must(key)); s != "" {
			out[key] = []string{s}
		}
	}
	n.done()
	return out, r.err()
}

// reader reads the files of one folder, and collects their problems.
type reader struct {
	Options
	folder   fs.FS
	site     assess.Site
	problems Collected // of the folder
	cells    Collected // cells that cannot be read: each stops one location
	faults   int       // how many problems of the folder there are
	files    []string  // with problems of either kind
	hertz    float64   // of the site: converts cycles to milliseconds

	// What site.toml says about locations.csv.
	dates    *dateForm
	defaults map[string]any    // by canonical column, for absent columns and empty cells
	headings map[string]string // canonical column = the owner's heading
	owner    map[string]string // the owner's heading, folded = canonical column
	ignored  []string          // headings for the owner's own use
	plates   map[string]bool   // places of transformers
	fed      []string          // places of feeders
	later    []func()          // checks that need the locations

	near   Near           // which locations to read; nil for all
	listed map[string]int // the ids of all locations
	logged bool           // the log was read
	alone  bool           // only the log is read: curves are not there
	index  map[string]int // the numbers of the locations that were read; nil until then
}

func newReader(folder fs.FS, o Options) *reader {
	if o.Languages == nil {
		o.Languages = []string{"en"}
	}
	return &reader{folder: folder, Options: o, hertz: 60, dates: &dateForms[0],
		plates: map[string]bool{}}
}

// file reads a file of the folder as UTF-8. It reports one that cannot be read; missing says what
// a missing one means.
func (r *reader) file(name string, missing func()) ([]byte, bool) {
	data, err := infile.Read(r.folder, name, SizeLimit(name))
	if err == nil {
		return r.decodeUTF8(name, data)
	}
	r.unreadable(name, err, missing)
	return nil, false
}

// unreadable reports why a file cannot be read; see [reader.file].
func (r *reader) unreadable(name string, err error, missing func()) {
	var in *infile.Error
	var p *fs.PathError
	switch {
	case errors.As(err, &in):
		r.report(name, 0, "", in.Found, in.Expected, in.Do)
		return
	case errors.Is(err, fs.ErrNotExist) && missing != nil:
		missing()
		return
	case errors.As(err, &p):
		err = p.Err
	}
	r.report(name, 0, "", err.Error(), "a file that can be read", "")
}
