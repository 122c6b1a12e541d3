package record

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"

	"vouchmark/assess/cores"
)

// writers is how many files are written at the same time: most of the time that a record
// takes is waiting for the disk, which makes many files safe together nearly as fast as
// one.
var writers = 16

// atOnce does what waits for the disk.
func atOnce(n int, progress func(done, all int), do func(i int)) {
	// A goroutine that waits for the disk keeps its share of GOMAXPROCS until the runtime takes
	// it away, mostly too late. With twice as many shares the cores work meanwhile.
	if n > writers {
		runtime.GOMAXPROCS(2 * runtime.GOMAXPROCS(0))
		defer runtime.SetDefaultGOMAXPROCS()
	}
	cores.Workers(writers, n, progress, func() func(int) { return do })
}

// noted is what the ledger notes of a record.
type noted struct {
	id   ID
	gist Gist
}

// prepareAll writes the records of sheets to temporary files, those that are not yet there,
// and returns what the ledger notes of each sheet. Each is encoded only here. The files are
// returned with an error too.
func (s *Store) prepareAll(sheet []Sheet) (all []noted, files []*Pending, err error) {
	at := map[*Record]int{}
	var records []*Record // without those of further copies
	for _, p := range sheet {
		if _, known := at[p.Record]; !known {
			at[p.Record] = len(records)
			records = append(records, p.Record)
		}
	}
	made, errs := make([]noted, len(records)), make([]error, len(records))
	files = make([]*Pending, len(records))
	shared := new(Shared)
	atOnce(len(records), s.Progress, func(i int) { made[i], files[i], errs[i] = s.prepare(records[i], shared) })
	files = slices.DeleteFunc(files, func(f *Pending) bool { return f == nil })
	for _, p := range sheet {
		i := at[p.Record]
		all = append(all, made[i])
		if is := made[i].id.Code(); errs[i] == nil && p.Code != "" && p.Code != is {
			errs[i] = fmt.Errorf("the label of %s was drawn with the code %s, but its record has %s; please report this",
				p.Record.Location.ID, p.Code, is)
		}
	}
	if i := slices.IndexFunc(errs, func(err error) bool { return err != nil }); i >= 0 {
		return nil, files, errs[i] // of a full disk one error is enough
	}
	return all, files, nil
}

// prepare writes a record to a temporary file; nil where its file is there.
func (s *Store) prepare(r *Record, shared *Shared) (n noted, f *Pending, err error) {
	if n.gist, err = shared.Gist(r); err != nil {
		return n, nil, err
	}
	if n.id = r.stored; n.id != (ID{}) {
		return n, nil, s.says(n)
	}
	text := texts.Get().(*[]byte)
	defer texts.Put(text)
	data, id, err := r.encodeTo(*text)
	*text = data
	if err == nil && len(data) > MostRecord {
		err = fmt.Errorf("the record of %s would have more than %d MiB, and no audit would read it: "+
			"give the location fewer cases, or its curves fewer points", r.Location.ID, MostRecord>>20)
	}
	if err != nil {
		return n, nil, err
	}
	n.id = id
	f, err = preparePlace(s.dir, Path(id), data)
	return n, f, err
}

// says refuses a record that does not say what the ledger notes of it.
func (s *Store) says(n noted) error {
	r, err := s.Load(n.id)
	if err != nil {
		return err
	}
	if is, err := r.Gist(); err != nil || is != n.gist {
		return fmt.Errorf("%s: %w: it does not say what the ledger notes of it", Path(n.id), cmp.Or(err, ErrDamaged))
	}
	return nil
}

// placeAll moves files into their places, over what was there, and makes their new names
// survive a crash.
func placeAll(files []*Pending) error {
	var dirs []string
	for _, f := range files {
		if err := f.place(); err != nil {
			return err
		}
		dirs = append(dirs, filepath.Dir(f.path))
	}
	slices.Sort(dirs)
	dirs = slices.Compact(dirs)
	errs := make([]error, len(dirs))
	atOnce(len(dirs), nil, func(i int) { errs[i] = syncDir(dirs[i]) })
	return errors.Join(errs...)
}
