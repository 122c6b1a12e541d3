package site

import (
	"io/fs"
	"maps"
	"slices"

	"vouchmark/assess"
)

// ReadLog is a site with the log of changes read again, for a folder whose other files are as
// they were when the site was read. The site itself is not changed. Its error is a Problems.
func ReadLog(folder fs.FS, o Options, s *assess.Site) (*assess.Site, error) {
	r := newReader(folder, o)
	r.site = *s
	if hz := s.Policy.FrequencyHz; hz > 0 {
		r.hertz = float64(hz) // a curve may be in cycles
	}
	r.site.Log = assess.Log{}
	r.site.Curves = maps.Clone(s.Curves)
	// What the old log had to say about itself.
	r.site.Policy.Findings = slices.DeleteFunc(slices.Clone(s.Policy.Findings), func(f assess.Finding) bool {
		return f.File == assess.ChangesFile
	})
	r.index = s.Index()
	r.listed = r.index
	r.readLog()
	return &r.site, r.err()
}
