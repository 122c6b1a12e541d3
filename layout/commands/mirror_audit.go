package commands

import (
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"

	"vouchmark/label/audit"
	"vouchmark/label/bucket"
	"vouchmark/label/mirror"
)

// compare compares a folder, or an archive, with the mirror at an address. It writes nothing anywhere.
func (e *Env) compare(address string, folder fs.FS, full, archive bool) (*mirror.Compared, error) {
	a, err := bucket.Parse(address)
	if err != nil {
		return nil, &usageError{text: "--mirror: " + err.Error()}
	}
	ctx := context.Background()
	b, err := openMirror(ctx, a, false)
	if err == nil {
		defer b.Close()
		var c *mirror.Compared
		c, err = mirror.Compare(ctx, b, folder, mirror.Comparing{Full: full, Archive: archive, Pick: rand.IntN,
			Progress: e.progress.of("comparing file")})
		if err == nil {
			c.Address = a.Name()
			return c, nil
		}
	}
	return nil, fmt.Errorf("%s: %w", a.Name(), err)
}

// noteMirror notes which mirror the folder names, if an audit did not compare with that one.
func (e *Env) noteMirror(r *audit.Report, compared string, archive bool) {
	if archive {
		return
	}
	switch set, err := e.mirror(); {
	case err != nil:
		r.Notes = append(r.Notes, "mirror.toml cannot be used, so nothing is sent to a mirror: run vouchmark records mirror")
	case set == nil:
	case compared == "":
		r.Notes = append(r.Notes, fmt.Sprintf("mirror.toml names a mirror, %s, which was not asked; to compare: vouchmark audit --mirror %s",
			set.Address.Name(), quote(set.Address.String())))
	case compared != set.Address.String():
		r.Notes = append(r.Notes, fmt.Sprintf("mirror.toml names another mirror, %s", set.Address.Name()))
	}
}
