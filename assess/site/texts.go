package site

import (
	"errors"
	"io/fs"
	"maps"
	"slices"
)

// ReadTexts reads a TOML file of texts: want holds its keys, and whether each
// is a list of texts. must demands all of them. A single text comes as a list
// of one; what is not in the file, or wrong, is not in the result. Its error
// is a Problems.
func ReadTexts(folder fs.FS, file string, want map[string]bool, must bool, o Options) (map[string][]string, error) {
	r := newReader(folder, o)
	out := map[string][]string{}
	n := r.readTOML(file, nil)
	if n == nil {
		return out, r.err()
	}
	n.kind = kindWording
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if want[key] {
			if l := n.list(key, must); len(l) > 0 {
				out[key] = l
			}
		} else if s := n.text(key, must); s != "" {
			out[key] = []string{s}
		}
	}
	n.done()
	return out, r.err()
}

// Join makes one report of several. An error that is no Problems comes first,
// alone.
func Join(errs ...error) error {
	var all Problems
	for _, err := range errs {
		var ps Problems
		if err != nil && !errors.As(err, &ps) {
			return err
		}
		all = append(all, ps...)
	}
	if all == nil {
		return nil
	}
	return all
}
