package commands

import (
	"bytes"
	"context"
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"vouchmark/assess/infile"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/bucket"
	across "vouchmark/label/overview"
	"vouchmark/label/record"
)

// storeWait bounds how long a view takes to be sent.
const storeWait = 5 * time.Minute

// sentView is where in a store a view is kept.
type sentView struct {
	ctx   context.Context
	in    bucket.Bucket
	at    *bucket.Address
	there map[string]bucket.Entry
}

// viewAt lists what is at a place in a store. It refuses one that holds anything but an earlier view, and gives the places
// of that.
func viewAt(ctx context.Context, a *bucket.Address) (v *sentView, earlier []string, err error) {
	in, err := a.Open(ctx)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", a.Name(), err)
	}
	v = &sentView{ctx, in, a, map[string]bucket.Entry{}}
	for e, err := range in.List(ctx, "") {
		if err != nil {
			in.Close()
			return nil, nil, fmt.Errorf("%s: %w", a.Name(), err)
		}
		v.there[e.Key] = e
	}
	if len(v.there) == 0 {
		return v, nil, nil
	}
	var old earlierView
	file, err := in.Get(ctx, across.DataFile, infile.GiB)
	if err == nil {
		err = json.Unmarshal(file.Data, &old)
	}
	if err != nil || old.Pages != across.Maker {
		in.Close()
		return nil, nil, &usageError{text: fmt.Sprintf("--out: %s holds other files; name a new prefix or an empty one", a.Name())}
	}
	return v, old.places(), nil
}

// write sends what changed: the data first, the page last. A file that somebody else wrote since it was listed is not
// written over.
func (v *sentView) write(parts ...[]pages.File) error {
	for _, files := range parts {
		for _, f := range files {
			sum, digest := md5.Sum(f.Data), sha256.Sum256(f.Data)
			there, exists := v.there[f.Name]
			if exists && bytes.Equal(there.MD5, sum[:]) {
				continue
			}
			how := bucket.How{Type: pages.TypeOf(f.Name), Cache: pages.CacheOf(false), Digest: hex.EncodeToString(digest[:]), New: !exists, Was: there.Tag}
			_, err := v.in.Put(v.ctx, f.Name, f.Data, how)
			if errors.Is(err, bucket.ErrChanged) {
				err = errors.New("somebody else wrote a view there in the meantime; if it is not the same, run this again")
			}
			if err != nil {
				return &record.WriteError{Path: v.at.Name() + f.Name, Err: err}
			}
		}
	}
	return nil
}
