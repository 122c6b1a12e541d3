package audit

import (
	"cmp"
	"errors"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// studies checks the files in studies/ that lines of the ledger name: that each
// is there with the bytes that its line names. Any other file proves nothing,
// and is noted.
func (a *audit) studies() error {
	entries, err := a.kept()
	if err != nil {
		return err
	}
	var files []*record.Study // that are there
	there := map[string]fs.DirEntry{}
	for _, e := range entries {
		there[e.Name()] = e
	}
	all := slices.SortedFunc(maps.Values(a.replay.Studies), func(x, y *record.Study) int {
		return cmp.Or(cmp.Compare(x.Line, y.Line), cmp.Compare(x.File, y.File))
	})
	for _, s := range all {
		switch e := there[s.File]; {
		case !record.StudyFile(s.File): // its line was reported already
		case e == nil:
			a.problem(record.LineName(s.Line), a.bringBack(s), "%s is missing, %s%s", s.Path(), whatIsIt(s), a.restsOn(s))
		case !e.Type().IsRegular():
			a.problem(s.Path(), "find out what replaced it, and "+a.bringBack(s), "it is not a regular file")
		default:
			files = append(files, s)
		}
	}
	a.Studies = len(files)
	names := make([]string, len(files))
	for i, s := range files {
		names[i] = s.Path()
	}
	sums, err := hash(a.folder, names, record.MostStudy+1)
	if err != nil {
		return err
	}
	for i, s := range files {
		if sums[i] == s.SHA256 {
			continue
		}
		found := "it was altered or damaged"
		if k := slices.IndexFunc(all, func(o *record.Study) bool { return o.SHA256 == sums[i] }); k >= 0 {
			found = "it has the bytes of " + all[k].Path()
		}
		a.problem(s.Path(), a.bringBack(s), "its bytes do not match %s: %s%s", record.LineName(s.Line), found, a.restsOn(s))
	}
	a.unnamed(entries)
	return nil
}

// kept is what is in studies/.
func (a *audit) kept() ([]fs.DirEntry, error) {
	if info, err := fs.Lstat(a.folder, record.StudiesFolder); err == nil && !info.IsDir() {
		a.problem(record.StudiesFolder, "find out what replaced it", "it is not a folder")
		return nil, nil
	}
	entries, err := fs.ReadDir(a.folder, record.StudiesFolder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, err
}

// bringBack is what to do where a file is missing or altered.
func (a *audit) bringBack(s *record.Study) string {
	do := "restore the file from a backup"
	if s.Taken != nil {
		do += ", or take the same study file in again"
	}
	return do
}

// whatIsIt says what a file in studies/ is.
func whatIsIt(s *record.Study) string {
	if s.Taken == nil {
		return "the " + assess.LocationsFile + " that a study replaced"
	}
	return "a study that was taken in on " + s.Taken.Date.String()
}

// unnamed notes the files in studies/ that no line names.
func (a *audit) unnamed(entries []fs.DirEntry) {
	var files, temps []string
	for _, e := range entries {
		switch name := e.Name(); {
		case strings.HasPrefix(name, ".") && path.Ext(name) == ".tmp":
			temps = append(temps, name)
		case a.replay.Studies[name] == nil:
			files = append(files, name)
		}
	}
	if len(files) > 0 {
		a.note("%s in %s/ not named by any line of the ledger, so nothing proves where they came from: %s",
			report.Plural(len(files), "file"), record.StudiesFolder, report.Few(files))
	}
	if len(temps) > 0 {
		a.note("%s in %s/ left by a crash or by a command that is writing now: the next command that writes removes "+
			"what a crash left", report.Plural(len(temps), "temporary file"), record.StudiesFolder)
	}
}

// restsOn says which rows and labels name a file as their source.
func (a *audit) restsOn(s *record.Study) string {
	named := a.sources()[s.File]
	if named == nil || s.Taken == nil {
		return ""
	}
	return named.words("; it is the source of ")
}

// naming is which locations name a file as their source: in their rows of
// locations.csv, and in the records of their labels.
type naming struct{ rows, labels []string }

func (n *naming) words(lead string) string {
	rows, labels := report.Few(n.rows), report.Few(n.labels)
	switch {
	case rows == "":
		return lead + "the labels of " + labels
	case labels == "":
		return lead + "the rows of " + rows
	}
	return lead + "the rows of " + rows + " and the labels of " + labels
}

// sourcesOf are the files that the rows of a location name as their source, in the order of the cases.
func sourcesOf(l *assess.Location) []string {
	var files []string
	for i := range l.Cases {
		s, ok := assess.ParseSource(l.Cases[i].Source)
		if n := len(files); ok && (n == 0 || files[n-1] != s.File) {
			files = append(files, s.File)
		}
	}
	return files
}

// sources are the files that rows and records name as their source.
func (a *audit) sources() map[string]*naming {
	if a.named != nil {
		return a.named
	}
	a.named = map[string]*naming{}
	add := func(id string, sources []string, to func(*naming) *[]string) {
		for _, file := range sources {
			n := a.named[file]
			if n == nil {
				n = &naming{}
				a.named[file] = n
			}
			if list := to(n); len(*list) == 0 || (*list)[len(*list)-1] != id { // a location comes once
				*list = append(*list, id)
			}
		}
	}
	if v := a.o.View; v != nil {
		for i := range v.rows {
			add(v.rows[i].id, v.rows[i].files, func(n *naming) *[]string { return &n.rows })
		}
	}
	for _, id := range slices.Sorted(maps.Keys(a.replay.Labels)) {
		if r := a.newest[a.replay.Labels[id].ID]; r != nil {
			add(r.id, r.sources, func(n *naming) *[]string { return &n.labels })
		}
	}
	return a.named
}

// unproven notes source files that were never taken in, and a locations.csv
// that was edited since the last study.
func (a *audit) unproven() {
	sources := a.sources()
	for _, file := range slices.Sorted(maps.Keys(sources)) {
		if s := a.replay.Studies[file]; s == nil || s.Taken == nil {
			a.note("%s was never taken in, although it is %s: nothing proves what it said", file,
				sources[file].words("the source of "))
		}
	}
	var last *record.Line
	for i := range a.ledger.Lines {
		if l := &a.ledger.Lines[i]; l.Kind == record.Intake && l.Study != nil {
			last = l
		}
	}
	if last == nil {
		return
	}
	sum, err := hashOf(infile.Open(a.folder, assess.LocationsFile, site.SizeLimit(assess.LocationsFile)))
	if err == nil && sum != last.Locations {
		a.note("%s was edited after %s was taken in on %s: its rows may differ from the study that they name",
			assess.LocationsFile, last.Study.File, last.Date)
	}
}
