package commands

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// siteFiles and siteFolders are what a site folder is made of. Nothing of it is ever an output.
var (
	siteFiles = []string{assess.PolicyFile, assess.LocationsFile, assess.ChangesFile, assess.DevicesFile, "intake.toml",
		record.LedgerFile, seal.KeysFile, record.MirrorFile}
	siteFolders = []string{"records", "curves", "studies", "wording"}
)

// checkOutputs refuses to write over what belongs to a site folder, or into its own folders: to that of --site,
// and to any other.
func (e *Env) checkOutputs(fs *pflag.FlagSet) error {
	for _, name := range []string{"out", "pdf"} {
		f := fs.Lookup(name)
		if f == nil || f.Value.String() == "" || e.site == "" {
			continue
		}
		path := resolved(f.Value.String())
		sites := append(sitesAbove(path), resolved(e.site))
		if slices.ContainsFunc(sites, func(site string) bool { return belongs(path, site) }) {
			return &usageError{text: fmt.Sprintf("--%s: %s belongs to the site folder; name another file", name, f.Value)}
		}
	}
	return nil
}

// sitesAbove are the site folders that a file is in, at any depth.
func sitesAbove(path string) (sites []string) {
	for dir := filepath.Dir(path); ; dir = filepath.Dir(dir) {
		if isSite(dir) {
			sites = append(sites, dir)
		}
		if dir == filepath.Dir(dir) {
			return sites
		}
	}
}

// belongs reports whether a file is one that a site folder is made of, or would be.
func belongs(path, site string) bool {
	rel, err := filepath.Rel(site, path)
	if err != nil {
		return false // on another drive
	}
	first, _, below := strings.Cut(filepath.ToSlash(rel), "/")
	same := func(s string) bool { return strings.EqualFold(s, first) } // some systems ignore capitals
	return !below && (slices.ContainsFunc(siteFiles, same) || record.TornFile(strings.ToLower(first))) ||
		slices.ContainsFunc(siteFolders, same)
}
