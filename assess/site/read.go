package site

import (
	"errors"
	"io/fs"

	"vouchmark/assess"
)

const (
	policyFile    = "site.toml"
	locationsFile = "locations.csv"
)

// Options are what a reader needs from above.
type Options struct {
	// Missing gives the characters of a text that no label can show. A nil
	// Missing lets every character pass.
	Missing func(string) []rune
	// Languages are those in which a label can speak; nil for English alone.
	Languages []string
}

func (o Options) languages() []string {
	if o.Languages == nil {
		return []string{"en"}
	}
	return o.Languages
}

// Read reads a site folder. Its error is a Problems.
func Read(folder fs.FS, o Options) (*assess.Site, error) {
	var ps problems
	s := &assess.Site{}
	r := readPolicy(folder, &ps, o, &s.Policy)
	data, err := fs.ReadFile(folder, locationsFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		ps.add(Problem{File: locationsFile, Found: "no such file", Expected: "the study's results, a row for each location", Do: "vouchmark init DIR makes a starter folder with one"})
	case err != nil:
		ps.add(unreadable(locationsFile, err))
	default:
		s.Locations = readLocations(data, &ps, o, r)
		r.checkPlaces(s, &ps)
		r.placeFeeders(s)
		readCurves(folder, s, &ps, r)
	}
	readLog(folder, s, &ps, o)
	return s, ps.err()
}

// ReadPolicy reads site.toml alone, for what needs no study results.
func ReadPolicy(folder fs.FS, o Options) (*assess.Policy, error) {
	var ps problems
	p := &assess.Policy{}
	readPolicy(folder, &ps, o, p)
	return p, ps.err()
}

func readPolicy(folder fs.FS, ps *problems, o Options, p *assess.Policy) spreadsheet {
	data, err := fs.ReadFile(folder, policyFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		ps.add(Problem{File: policyFile, Found: "no such file", Expected: "the owner's policy", Do: "name the site folder with --site DIR, or make one with vouchmark init DIR"})
	case err != nil:
		ps.add(unreadable(policyFile, err))
	default:
		return parsePolicy(data, ps, o, p)
	}
	return spreadsheet{hertz: 60}
}

func unreadable(file string, err error) Problem {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return Problem{File: file, Found: err.Error(), Expected: "a file that can be read"}
}

// spreadsheet is what the policy says about reading locations.csv.
type spreadsheet struct {
	headings map[string]string // canonical column = the owner's heading
	ignored  []string          // headings that are the owner's own business
	hertz    float64
	typical  bool // missing geometry may be taken from typical values

	places  []place  // locations that site.toml names
	feeders []feeder // conductors that site.toml names
}

// place is a location's id as it stands in site.toml.
type place struct {
	line   int
	column string
	id     string
}

// checkPlaces reports the places of site.toml that locations.csv lacks.
func (r spreadsheet) checkPlaces(s *assess.Site, ps *problems) {
	for _, p := range r.places {
		if _, ok := s.Location(p.id); !ok && len(s.Locations) > 0 {
			ps.add(Problem{File: policyFile, Line: p.line, Column: p.column, Found: quote(p.id), Expected: "the id of a location in locations.csv"})
		}
	}
}
