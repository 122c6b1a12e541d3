package publish

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"

	"vouchmark/assess/infile"
	"vouchmark/label/bucket"
)

// manifest says of each page in a bucket, by name, from what it was made and which tag the store gave it.
type manifest struct {
	mark
	Generation int64             `json:"generation"`
	Heads      map[string]string `json:"heads"` // content types and cache lifetimes with which they were sent
	Placed     map[string]placed `json:"placed"`
}

// placed is a file as it was made and as the store has it.
type placed struct {
	made        // Data is empty for a file that no page was made for
	Tag  string `json:"tag"`
}

// What is read of a bucket at most.
const (
	mostNote     = infile.MiB
	mostSite     = 16 * infile.MiB
	mostManifest = 256 * infile.MiB // compressed
	mostUnpacked = 2 * infile.GiB
)

var errDamaged = errors.New("it is damaged")

func (m *manifest) bytes() ([]byte, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if err := json.NewEncoder(z).Encode(m); err != nil {
		return nil, err
	}
	err := z.Close()
	return b.Bytes(), err
}

// manifest reads one.
func (r *remote) manifest(e bucket.Entry) (*manifest, error) {
	file, err := r.get(e.Key, mostManifest)
	if err != nil {
		return nil, err
	}
	z, err := gzip.NewReader(bytes.NewReader(file.Data))
	if err != nil {
		return nil, errDamaged
	}
	m := &manifest{}
	in := json.NewDecoder(io.LimitReader(z, mostUnpacked))
	if in.Decode(m) != nil || m.Placed == nil || m.Pages != maker {
		return nil, errDamaged
	}
	if _, err := in.Token(); err != io.EOF { // as far as the checksum
		return nil, errDamaged
	}
	return m, nil
}

// beginning reads one.
func (r *remote) beginning(e bucket.Entry) (*beginning, error) {
	file, err := r.get(e.Key, mostNote)
	if err != nil {
		return nil, err
	}
	n := &beginning{}
	if json.Unmarshal(file.Data, n) != nil || n.Pages != maker {
		return nil, errDamaged
	}
	return n, nil
}

// site reads site.json; nil if it is missing, damaged, or, foreign, another program's.
func (r *remote) site() (m *mark, foreign, missing bool, err error) {
	file, err := r.get(markFile, mostSite)
	switch {
	case errors.Is(err, bucket.ErrMissing):
		return nil, false, true, nil
	case err != nil:
		return nil, false, false, err
	}
	m = &mark{}
	if json.Unmarshal(file.Data, m) != nil {
		return nil, false, false, nil
	}
	if m.Pages != maker {
		return nil, true, false, nil
	}
	return m, false, false, nil
}
