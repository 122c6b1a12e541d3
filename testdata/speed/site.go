package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var (
	sources = regexp.MustCompile(`(?m)^sources = \[(.*)\]$`)
	feeder  = regexp.MustCompile(`(?m)^at = "(.*)"$`)
)

// writeSite writes a site of n locations into a folder: the sample's rows, copied as
// often as it takes, each copy with ids and areas of its own. The last copy ends at the
// n-th location, so the sample must list a location after those that feed it.
func writeSite(sample string, n int, dir string) error {
	in, err := os.Open(filepath.Join(sample, "locations.csv"))
	if err != nil {
		return err
	}
	defer in.Close()
	rows, err := csv.NewReader(in).ReadAll()
	if err != nil {
		return err
	}
	policy, err := os.ReadFile(filepath.Join(sample, "site.toml"))
	if err != nil {
		return err
	}
	head, transformers, _ := strings.Cut(string(policy), "[[transformer]]")
	found := sources.FindStringSubmatch(head)
	if found == nil {
		return fmt.Errorf("%s/site.toml: no line of sources", sample)
	}

	ids := map[string]bool{}
	var copied [][]string
	var roots, feeders []string
	for c := 0; len(ids) < n; c++ {
		suffix := "-" + strconv.Itoa(c)
		if c == 0 {
			suffix = ""
		}
		for _, row := range rows[1:] {
			row = slices.Clone(row)
			for i, column := range rows[0] {
				switch column {
				case "id", "fed_from", "device_at":
					row[i] = suffixed(row[i], suffix)
				case "area":
					row[i] += strings.ReplaceAll(suffix, "-", " ")
				}
			}
			if !ids[row[0]] && len(ids) == n {
				break
			}
			ids[row[0]] = true
			copied = append(copied, row)
		}
		for root := range strings.SplitSeq(found[1], ", ") {
			if id := strings.Trim(root, `"`) + suffix; ids[id] {
				roots = append(roots, strconv.Quote(id))
			}
		}
		for t := range strings.SplitSeq(transformers, "[[transformer]]") {
			at := feeder.FindStringSubmatch(t)
			if at == nil {
				return fmt.Errorf("%s/site.toml: a transformer without at", sample)
			}
			if id := at[1] + suffix; ids[id] {
				feeders = append(feeders, "[[transformer]]"+feeder.ReplaceAllLiteralString(t, "at = "+strconv.Quote(id)))
			}
		}
	}

	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	head = sources.ReplaceAllLiteralString(head, "sources = ["+strings.Join(roots, ", ")+"]")
	text := strings.TrimRight(head+strings.Join(feeders, ""), "\n") + "\n"
	if err := os.WriteFile(filepath.Join(dir, "site.toml"), []byte(text), 0o644); err != nil {
		return err
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	if err := w.WriteAll(slices.Concat(rows[:1], copied)); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "locations.csv"), []byte(out.String()), 0o644)
}

// suffixed adds a suffix to each id of a cell.
func suffixed(cell, suffix string) string {
	if cell == "" {
		return ""
	}
	ids := strings.Split(cell, ";")
	for i := range ids {
		ids[i] += suffix
	}
	return strings.Join(ids, ";")
}
