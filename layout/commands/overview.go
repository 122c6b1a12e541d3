package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/publish"
	"vouchmark/label/bucket"
	across "vouchmark/label/overview"
)

// atOnce is how many plants are read at the same time: most of that is waiting.
const atOnce = 16

// mostPlaces is how many bytes a list of places may have.
const mostPlaces = infile.MiB

// Overview is the command of that name.
func Overview(flags *pflag.FlagSet) func(*Env, []string) error {
	from := flags.String("from", "", "`FILE` a list of places, one on each line; lines that begin with # do not count")
	out := flags.String("out", "", "`DIR` write a page and overview.json into this folder, or place in a store, which is new, empty or an earlier overview")
	find := flags.String("find", "", "`NAME` list the plants that may have this id, code or scanned QR code")
	today := flags.String("today", "", "`DATE` the date to use as today, such as 2026-05-01 (default: today)")
	return func(e *Env, args []string) error {
		places, err := places(args, *from)
		if err != nil {
			return err
		}
		if err := e.day(*today); err != nil {
			return err
		}
		var earlier []string
		var sent *sentView
		if inStore(*out) {
			ctx, stop := context.WithTimeout(context.Background(), storeWait)
			defer stop()
			a, err := bucket.Parse(*out)
			if err != nil {
				return wrongFlag("out", err)
			}
			if sent, earlier, err = viewAt(ctx, a); err != nil {
				return err
			}
			defer sent.in.Close()
		} else if *out, err = onDisk(*out); err != nil {
			return wrongFlag("out", err)
		} else if earlier, err = free(*out, places); err != nil {
			return err
		}
		folder := *out // from which a path can lead to other folders
		if sent != nil {
			folder = ""
		}
		reader := e.plants(folder)
		if sent != nil {
			reader.view = sent.at
		}
		defer reader.store.close()
		if places, err = reader.all(places, earlier); err != nil {
			return err
		}
		o := across.New(places, e.today, atOnce, reader.read)
		if *out != "" {
			if err := write(*out, sent, o); err != nil {
				return fmt.Errorf("%w; the page was not written", err)
			}
		}
		if *find != "" {
			may := o.Find(*find)
			return verdict(e.show(o, o.FindText(*find)), may > 0)
		}
		err = e.show(o, o.Text)
		if *out != "" && !e.json && err == nil {
			page := filepath.Join(*out, across.PageFile)
			if sent != nil {
				page = sent.at.Name() + across.PageFile
			}
			_, err = fmt.Fprintf(e.Stdout, "\n%s: the page of all plants, and %s\n", page, across.DataFile)
		}
		return verdict(err, o.Complete())
	}
}

// day is today, by a flag of a command that reads several site folders or none.
func (e *Env) day(flag string) error {
	if flag == "" {
		return nil
	}
	d, err := assess.ParseDate(flag)
	if err != nil {
		return wrongFlag("today", err)
	}
	e.today, e.todayGiven = d, true
	return nil
}

// places are those of the command line and of a list.
func places(args []string, from string) ([]string, error) {
	all := slices.Clone(args)
	if from != "" {
		data, err := infile.ReadPath(from, mostPlaces)
		if err != nil {
			return nil, wrongFlag("from", err)
		}
		for line := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
			if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
				all = append(all, line)
			}
		}
	}
	if len(all) == 0 {
		return nil, &usageError{text: "name the plants: site folders, published folders or addresses of published sites; or a list of them with --from"}
	}
	seen := map[string]bool{}
	for _, p := range all {
		key := strings.TrimRight(p, "/")
		if strings.ContainsFunc(p, assess.Unseen) {
			return nil, &usageError{text: fmt.Sprintf("%q has a character that cannot be seen", p)}
		}
		if seen[key] {
			return nil, &usageError{text: fmt.Sprintf("%s is named twice: its labels would count twice", p)}
		}
		seen[key] = true
	}
	return all, nil
}

// free refuses a folder that holds anything but an earlier overview, or is in a site folder. It gives the places of the
// earlier one.
func free(dir string, places []string) (earlier []string, err error) {
	if dir == "" {
		return nil, nil
	}
	for _, p := range places {
		if !address(p) && siteOf(p) != "" && inside(dir, p) {
			return nil, &usageError{text: fmt.Sprintf("--out: %s is in the site folder %s; name a folder outside", dir, p)}
		}
	}
	entries, err := os.ReadDir(dir)
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.Name() == publish.Unfinished })
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0 {
		return nil, nil
	}
	if err != nil {
		return nil, &usageError{text: fmt.Sprintf("--out: %s is not a folder that can be read; name a new one", dir)}
	}
	var old earlierView
	data, err := infile.ReadPath(filepath.Join(dir, across.DataFile), infile.GiB)
	if err == nil {
		err = json.Unmarshal(data, &old)
	}
	if err != nil || old.Pages != across.Maker {
		return nil, &usageError{text: fmt.Sprintf("--out: %s holds other files; name a new or an empty folder", dir)}
	}
	return old.places(), nil
}

// earlierView is an overview.json as far as the next view needs it.
type earlierView struct {
	Pages  string `json:"pages"`
	Plants []struct {
		Place string `json:"place"`
	} `json:"plants"`
}

func (v *earlierView) places() (all []string) {
	for _, p := range v.Plants {
		all = append(all, p.Place)
	}
	return all
}

// write writes the files of an overview. Its data come first, by which the folder is known for one, and the page comes last.
func write(dir string, sent *sentView, o *across.Overview) error {
	files, err := o.Files()
	if err != nil {
		return err
	}
	data := slices.IndexFunc(files, func(f pages.File) bool { return f.Name == across.DataFile })
	last := len(files) - 1
	parts := [][]pages.File{files[data : data+1], slices.Delete(slices.Clone(files[:last]), data, data+1), files[last:]}
	if sent != nil {
		return sent.write(parts...)
	}
	return publish.Parts(dir, parts...)
}

// PolicyDiff is the command of that name.
func PolicyDiff(flags *pflag.FlagSet) func(*Env, []string) error {
	from := flags.String("from", "", "`FILE` a list of places, one on each line; lines that begin with # do not count")
	all := flags.Bool("all", false, "list the settings that are the same, too")
	return func(e *Env, args []string) error {
		places, err := places(args, *from)
		if err != nil {
			return err
		}
		read := e.plants("")
		defer read.store.close()
		if places, err = read.all(places, nil); err != nil {
			return err
		}
		if len(places) < 2 {
			return &usageError{text: "name at least two plants"}
		}
		plants := make([]across.Owned, len(places))
		wrong := make([]error, len(places))
		across.Each(len(places), atOnce, func(i int) {
			var err error
			if plants[i], err = read.policy(places[i]); err != nil {
				wrong[i] = fmt.Errorf("%s: %w", places[i], err)
			}
		})
		if err := errors.Join(wrong...); err != nil {
			return err
		}
		p := across.Compare(plants)
		return e.show(p, func(w io.Writer, width int) error { return p.Text(*all, w, width) })
	}
}
