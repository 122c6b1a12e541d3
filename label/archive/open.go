package archive

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"os"
	"path"

	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// limits are how large an archive may be: far more than any plant needs, and no more than a
// machine can handle. A ZIP file may claim to unpack to a thousand times its size.
type limits struct {
	packed    int64 // bytes of the archive
	directory int64 // bytes in which it lists its files
	files     int
	total     int64 // bytes of all files
	ratio     int64 // of the bytes of all files to those of the archive
	free      int64 // bytes of all files below which the ratio does not count
}

var most = limits{
	packed:    4 * infile.GiB,
	directory: 80 * infile.MiB,
	files:     500_000,
	total:     4 * infile.GiB,
	ratio:     100,
	free:      64 * infile.MiB,
}

// Limits are those of an archive.
func Limits() []infile.Limit {
	l := most
	return []infile.Limit{
		{What: "an archive", Most: infile.Size(l.packed) + ", " + infile.Count(l.files, "files") + ", " + infile.Size(l.directory) + " of their names"},
		{What: "an archive, unpacked", Most: fmt.Sprintf("%s, and above %s no more than %d times its own size",
			infile.Size(l.total), infile.Size(l.free), l.ratio)},
	}
}

// of is the most that one file may have.
func (l *limits) of(name string) int64 {
	switch {
	case name == record.LedgerFile, record.TornFile(name):
		return record.MostLedger
	case path.Dir(name) == record.StudiesFolder:
		return record.MostStudy
	case path.Dir(name) == ".":
		return site.SizeLimit(name)
	}
	return record.MostRecord
}

// unpacked is the most that all files of an archive of a size may have.
func (l *limits) unpacked(packed count) int64 {
	return min(l.total, max(l.free, l.ratio*int64(packed)))
}

// Archive is an open archive: a folder.
type Archive struct {
	*zip.Reader
	file *os.File
}

// Close closes its file.
func (a *Archive) Close() error { return a.file.Close() }

// Open opens an archive as a folder. It refuses a file that is not an archive, an archive with
// files that do not belong in one, and one above the limits. It says so before it unpacks any.
func Open(file string) (*Archive, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if err := infile.Regular(file, info); err != nil {
		return nil, err
	}
	if info.Size() > most.packed {
		return nil, tooMuch(file, "it has "+infile.Size(info.Size()), infile.Size(most.packed))
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	a, err := openFrom(file, f, info.Size())
	if err != nil {
		f.Close()
		return nil, err
	}
	return &Archive{a, f}, nil
}

func openFrom(file string, from io.ReaderAt, size int64) (*zip.Reader, error) {
	directory := &directory{of: from, left: most.directory}
	z, err := zip.NewReader(directory, size)
	switch {
	case errors.Is(err, errDirectory):
		return nil, tooMuch(file, "the list of its files has more than "+infile.Size(most.directory), "that")
	case err != nil:
		return nil, fmt.Errorf("%s is not an archive made by vouchmark records export: %w", file, err)
	}
	directory.known = true
	z.RegisterDecompressor(zip.Deflate, inflater)
	if err := sound(file, z.File, count(size)); err != nil {
		return nil, err
	}
	if err := exact(from, size, z.File); err != nil {
		return nil, fmt.Errorf("%s is not as vouchmark records export wrote it: %w", file, err)
	}
	return z, nil
}

// directory is an archive of which only a part may be read before the list of its files is known:
// whoever wrote that list may claim any number of them.
type directory struct {
	of    io.ReaderAt
	left  int64
	known bool // the list; from then on files are read, each up to its own limit
}

var errDirectory = errors.New("the list of files is too long")

func (d *directory) ReadAt(p []byte, at int64) (int, error) {
	if !d.known {
		if d.left -= int64(len(p)); d.left < 0 {
			return 0, errDirectory
		}
	}
	return d.of.ReadAt(p, at)
}

// tooMuch is the error for an archive above a limit.
func tooMuch(file, found, atMost string) error {
	return fmt.Errorf("%s: %s, and an archive of records has at most %s: nothing of it was read; "+
		"ask whoever sent it for another one made by vouchmark records export", file, found, atMost)
}

// sound refuses files that do not belong in an archive, and more than the limits.
func sound(file string, all []*zip.File, packed count) error {
	if len(all) > most.files {
		return tooMuch(file, fmt.Sprintf("it lists %d files", len(all)), fmt.Sprint(most.files))
	}
	seen, total := map[string]bool{}, int64(0)
	for _, f := range all {
		of := most.of(f.Name)
		switch {
		case !belongs(f.Name) || seen[f.Name] || !f.Mode().IsRegular():
			return fmt.Errorf("%s holds %q in a way that archives of records never do", file, f.Name)
		case f.UncompressedSize64 > uint64(of):
			return tooMuch(file, fmt.Sprintf("%s in it has %d bytes", f.Name, f.UncompressedSize64), infile.Size(of)+" there")
		}
		seen[f.Name] = true
		total += int64(f.UncompressedSize64)
		if total > most.total {
			return tooMuch(file, "its files have more than "+infile.Size(most.total)+" together", "that")
		}
	}
	if total > most.unpacked(packed) {
		return tooMuch(file, fmt.Sprintf("its files have %d times its own size", total/max(1, int64(packed))),
			fmt.Sprintf("%d times", most.ratio))
	}
	if !seen[record.LedgerFile] {
		return fmt.Errorf("%s has no %s: it is not an archive made by vouchmark records export", file, record.LedgerFile)
	}
	return nil
}
