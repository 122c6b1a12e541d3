package main

import (
	"io/fs"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"
)

// A package that lists its files lists all of them, and none that it does not have: a reader looks there
// first.
func TestFilesListed(t *testing.T) {
	listed := regexp.MustCompile(`(?m)^//\t([a-z0-9_]+\.go)\b`)
	named := regexp.MustCompile(`[a-z0-9_*]+\.go\b`)
	lists := 0
	err := fs.WalkDir(os.DirFS("."), ".", func(dir string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() || strings.HasPrefix(dir, "testdata") {
			return err
		}
		files, err := fs.Glob(os.DirFS("."), path.Join(dir, "*.go"))
		if err != nil {
			return err
		}
		list, there := "", map[string]bool{}
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				return err
			}
			head, _, _ := strings.Cut(string(data), "\npackage ")
			if listed.MatchString(head) {
				list += head + "\n"
			}
			if name := path.Base(f); !strings.HasSuffix(name, "_test.go") && name != "doc.go" {
				there[name] = true
			}
		}
		if list == "" {
			return nil
		}
		lists++
		for _, line := range strings.Split(list, "\n") {
			if !strings.HasPrefix(line, "//\t") {
				continue
			}
			for _, name := range named.FindAllString(line, -1) {
				found := false
				for f := range there {
					if ok, _ := path.Match(name, f); ok {
						found, there[f] = true, false
					}
				}
				if !found {
					t.Errorf("%s lists %s, which it does not have", dir, name)
				}
			}
		}
		for f, missing := range there {
			if missing {
				t.Errorf("%s does not list %s", dir, f)
			}
		}
		return nil
	})
	if err != nil || lists < 8 {
		t.Error(err, lists)
	}
}
