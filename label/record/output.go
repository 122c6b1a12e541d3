package record

import (
	"crypto/rand"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Outputs are files that a person named, somewhere on the machine, where no later writer looks after what a
// crash left. So an output has no name until it is moved into its place, where the file system has such files;
// elsewhere the next output of that name removes what was left a day ago.

// placing marks the name that an output without one has for the moment in which it is moved into its place.
const placing = ".placing-"

// staleAfter is how old the temporary file of another process must be to be taken for one that a crash left.
const staleAfter = 24 * time.Hour

// PrepareOutput is [PrepareFrom] for a file that a person named.
func PrepareOutput(path string, mode os.FileMode, write func(io.Writer) error) (*Pending, error) {
	f, err := disk.openHidden(filepath.Dir(path))
	if err != nil { // PrepareFrom says what is wrong, if anything is
		p, err := PrepareFrom(path, mode, write)
		if err == nil {
			info, _ := os.Stat(p.temp)
			sweepBeside(path, info)
		}
		return p, err
	}
	p := &Pending{file: f, path: path}
	err, own := fill(f, mode, write)
	if err == nil {
		info, _ := f.Stat()
		sweepBeside(path, info)
	}
	return p.ready(err, own)
}

// sweepBeside removes the temporary files of earlier outputs of that name. now is a file written a moment ago: its
// time is by the same clock as theirs.
func sweepBeside(path string, now fs.FileInfo) {
	start := "." + filepath.Base(path) + "."
	entries, _ := os.ReadDir(filepath.Dir(path)) // what cannot be listed stays
	for _, e := range entries {
		rest, ours := strings.CutPrefix(e.Name(), start)
		if !ours || !strings.HasSuffix(rest, ".tmp") || !e.Type().IsRegular() || now == nil {
			continue
		}
		info, err := e.Info()
		stale := err == nil && now.ModTime().Sub(info.ModTime()) > staleAfter
		if stale || strings.HasPrefix("."+rest, placing) { // another process at that moment names its file again
			disk.remove(filepath.Join(filepath.Dir(path), e.Name()))
		}
	}
}

// move gives the file its place.
func (p *Pending) move() error {
	if p.file == nil {
		return disk.rename(p.temp, p.path)
	}
	const tries = 3
	for i := 1; ; i++ {
		if err := p.name(); err != nil {
			return err
		}
		err := disk.rename(p.temp, p.path)
		if !errors.Is(err, fs.ErrNotExist) || i == tries {
			return err
		}
	}
}

// name gives a file without a name a temporary one, or, where the file system refuses that, a copy of it.
func (p *Pending) name() error {
	p.temp = filepath.Join(filepath.Dir(p.path), "."+filepath.Base(p.path)+placing+rand.Text()+".tmp")
	if disk.link(p.file, p.temp) == nil {
		return nil
	}
	p.temp = ""
	info, err := p.file.Stat()
	if err != nil {
		return err
	}
	named, err := PrepareFrom(p.path, info.Mode().Perm(), func(w io.Writer) error {
		_, err := io.Copy(w, io.NewSectionReader(p.file, 0, info.Size()))
		return err
	})
	if err != nil {
		return err
	}
	p.temp = named.temp
	return nil
}
