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
		record.LedgerFile, seal.KeysFile}
	siteFolders = []string{"records", "curves", "studies", "wording"}
)

// checkOutputs refuses to write over what belongs to the site folder, or into its own folders.
func (e *Env) checkOutputs(fs *pflag.FlagSet) error {
	for _, name := range []string{"out", "pdf"} {
		f := fs.Lookup(name)
		if f == nil || f.Value.String() == "" || e.site == "" {
			continue
		}
		rel, err := filepath.Rel(resolved(e.site), resolved(f.Value.String()))
		if err != nil {
			continue // on another drive
		}
		first, _, below := strings.Cut(filepath.ToSlash(rel), "/")
		same := func(s string) bool { return strings.EqualFold(s, first) } // some systems ignore capitals
		if !below && (slices.ContainsFunc(siteFiles, same) || record.TornFile(strings.ToLower(first))) || slices.ContainsFunc(siteFolders, same) {
			return &usageError{text: fmt.Sprintf("--%s: %s belongs to the site folder; name another file", name, f.Value)}
		}
	}
	return nil
}
