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
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// studies checks the files that lines of the ledger keep in studies/: that each
// is there with the bytes that its line names. What else is there proves
// nothing, and is noted.
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
		case !record.StudyFile(s.File): // its line was told of already
		case e == nil:
			a.problem(record.LineName(s.Line), a.bringBack(s), "%s is missing, %s%s", s.Path(), whatIsIt(s), a.restsOn(s))
		case !e.Type().IsRegular():
			a.problem(s.Path(), "find out what came in its place, and "+a.bringBack(s), "it is not a regular file")
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
			found = "it has those of " + all[k].Path()
		}
		a.problem(s.Path(), a.bringBack(s), "its bytes are not those that %s names: %s%s", record.LineName(s.Line), found, a.restsOn(s))
	}
	a.unnamed(entries)
	return nil
}

// kept is what is in studies/.
func (a *audit) kept() ([]fs.DirEntry, error) {
	if info, err := fs.Lstat(a.folder, record.StudiesFolder); err == nil && !info.IsDir() {
		a.problem(record.StudiesFolder, "find out what came in its place", "it is not a folder")
		return nil, nil
	}
	entries, err := fs.ReadDir(a.folder, record.StudiesFolder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, err
}

// bringBack is what to do where a file is not as it was.
func (a *audit) bringBack(s *record.Study) string {
	do := "bring the file back from a copy of the folder"
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
		a.note("%s in %s/ that no line of the ledger names, so nothing proves what they were: %s",
			report.Plural(len(files), "file"), record.StudiesFolder, report.Few(files))
	}
	if len(temps) > 0 {
		a.note("%s in %s/ that a writer at work, or a crash, left: the next writer removes what a crash left",
			report.Plural(len(temps), "file"), record.StudiesFolder)
	}
}

// restsOn says which locations name a file as their source.
func (a *audit) restsOn(s *record.Study) string {
	named := a.sources()[s.File]
	if named == nil || s.Taken == nil {
		return ""
	}
	return named.words("; it is the source of ")
}

// naming is which locations name a file as their source: by their rows in
// locations.csv, and by the records of their labels.
type naming struct{ rows, labels []string }

func (n *naming) words(lead string) string {
	rows, labels := report.Few(n.rows), report.Few(n.labels)
	switch {
	case rows == "":
		return lead + "the labels of " + labels
	case labels == "":
		return lead + "the rows of " + rows
	}
	return lead + "the rows of " + rows + " and of the labels of " + labels
}

// sources are the files that rows and records name as their source.
func (a *audit) sources() map[string]*naming {
	if a.named != nil {
		return a.named
	}
	a.named = map[string]*naming{}
	add := func(l *assess.Location, to func(*naming) *[]string) {
		for i := range l.Cases {
			s, ok := assess.ParseSource(l.Cases[i].Source)
			if !ok {
				continue
			}
			n := a.named[s.File]
			if n == nil {
				n = &naming{}
				a.named[s.File] = n
			}
			if list := to(n); len(*list) == 0 || (*list)[len(*list)-1] != l.ID { // a location comes once
				*list = append(*list, l.ID)
			}
		}
	}
	if a.o.View != nil {
		for i := range a.o.View.Site.Locations {
			add(&a.o.View.Site.Locations[i], func(n *naming) *[]string { return &n.rows })
		}
	}
	for _, id := range slices.Sorted(maps.Keys(a.replay.Labels)) {
		if r := a.records[a.replay.Labels[id].ID]; r != nil {
			add(r.Location, func(n *naming) *[]string { return &n.labels })
		}
	}
	return a.named
}

// unproven notes the files that rows or records name as their source and that
// no line took in, and a locations.csv that was edited since the last study.
func (a *audit) unproven() {
	sources := a.sources()
	for _, file := range slices.Sorted(maps.Keys(sources)) {
		if s := a.replay.Studies[file]; s == nil || s.Taken == nil {
			a.note("no line of the ledger took in %s, which is %s: nothing proves what it said", file,
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
	data, err := fs.ReadFile(a.folder, assess.LocationsFile)
	if err == nil && record.SHA256(data) != last.Locations {
		a.note("%s was edited since %s was taken in on %s: what its rows say may differ from the study that they name",
			assess.LocationsFile, last.Study.File, last.Date)
	}
}
