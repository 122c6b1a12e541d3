package site

import (
	"embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"vouchmark/assess"
)

//go:embed starter
var starter embed.FS

// notEmpty marks the error for a folder that is not empty: it is the user's mistake, not a fault
// of the disk.
type notEmpty struct{}

func (notEmpty) Error() string        { return "" }
func (notEmpty) Is(target error) bool { return target == os.ErrExist }

// starterPolicy is the finding that prevents printing while the policy is the starter's:
// everything there that decides a label is invented. It names the lines to read.
func starterPolicy(n *node, p *assess.Policy) {
	if !p.Starter {
		return
	}
	first, last := n.line("ladder[1]"), 0
	for key, line := range n.lines.all() {
		if strings.HasPrefix(key, "ladder[") {
			last = max(last, line)
		}
	}
	line := n.line("starter")
	words := fmt.Sprintf("this is still the starter's invented policy, so only previews can be printed ({}): "+
		"read lines %d (edition), %d (cutoff_cal_cm2), %d (review_months) and %d to %d (the ladder) of %s "+
		"and enter your own values, put your study in %s, then delete line %d (starter = true)",
		n.line("edition"), n.line("cutoff_cal_cm2"), n.line("review_months"), first, last, policyFile, locationsFile, line)
	p.Findings = append(p.Findings, assess.Finding{
		Level: assess.Error, Code: assess.StarterPolicy, Field: "starter", Line: line,
		Message: assess.Remedy{Act: assess.ToPreview, Words: words}.Text(n.Command)})
}

// Start creates a starter folder with comments that reads without a problem. dir must not exist
// or must be empty. The folder appears complete or not at all.
func Start(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s already exists and contains %q: name a new folder%w", dir, entries[0].Name(), notEmpty{})
	}
	dir = filepath.Clean(dir)
	temp, err := os.MkdirTemp(filepath.Dir(dir), ".starter-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp) // removes what is left of it: nothing after the rename
	for _, name := range []string{policyFile, locationsFile} {
		data, err := starter.ReadFile("starter/" + name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(temp, name), data, 0o644); err != nil {
			return err
		}
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.Rename(temp, dir)
}
