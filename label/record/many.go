package record

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
)

// atOnce is how many files are written at the same time: most of the time that a record
// takes is waiting for the disk, which makes many files safe together nearly as fast as
// one.
var atOnce = 16

// prepareAll writes the records of sheets to temporary files, those that are not yet there,
// and returns the names of all. Each is encoded only here. The files are returned with an
// error too.
func (s *Store) prepareAll(sheet []Sheet) (names []string, files []*Pending, err error) {
	var records []*Record // without those of further copies
	at := map[*Record]int{}
	for _, p := range sheet {
		if _, known := at[p.Record]; !known {
			at[p.Record] = len(records)
			records = append(records, p.Record)
		}
	}
	ids, errs := make([]ID, len(records)), make([]error, len(records))
	files = make([]*Pending, len(records))
	inParallel(atOnce, len(records), s.Progress, func(i int) {
		data, id, err := records[i].Encode()
		if err == nil && len(data) > MostRecord {
			err = fmt.Errorf("the record of %s would have more than %d MiB, and no audit would read it: "+
				"give the location fewer cases, or its curves fewer points", records[i].Location.ID, MostRecord>>20)
		}
		if err == nil {
			ids[i] = id
			files[i], err = preparePlace(s.dir, Path(id), data)
		}
		errs[i] = err
	})
	files = slices.DeleteFunc(files, func(f *Pending) bool { return f == nil })
	for _, p := range sheet {
		i := at[p.Record]
		names = append(names, ids[i].String())
		if is := ids[i].Code(); errs[i] == nil && p.Code != "" && p.Code != is {
			errs[i] = fmt.Errorf("the label of %s was drawn with the code %s, but its record has %s; please report this",
				p.Record.Location.ID, p.Code, is)
		}
	}
	if i := slices.IndexFunc(errs, func(err error) bool { return err != nil }); i >= 0 {
		return nil, files, errs[i] // of a full disk one error is enough
	}
	return names, files, nil
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
	inParallel(atOnce, len(dirs), nil, func(i int) { errs[i] = syncDir(dirs[i]) })
	return errors.Join(errs...)
}
