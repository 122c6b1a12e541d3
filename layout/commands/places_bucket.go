package commands

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"vouchmark/label/bucket"
	across "vouchmark/label/overview"
)

// buckets are those that a view of many plants reads: each is opened once, however many plants are in it.
type buckets struct {
	mu   sync.Mutex
	open map[string]bucket.Bucket
}

// at is the bucket of a place, and the prefix of the place in it.
func (b *buckets) at(ctx context.Context, a *bucket.Address) (bucket.Bucket, string, error) {
	root, prefix := a.Root()
	b.mu.Lock()
	defer b.mu.Unlock()
	if open := b.open[root.String()]; open != nil {
		return open, prefix, nil
	}
	open, err := root.Open(ctx)
	if err != nil {
		return nil, "", err
	}
	if b.open == nil {
		b.open = map[string]bucket.Bucket{}
	}
	b.open[root.String()] = open
	return open, prefix, nil
}

func (b *buckets) close() {
	for _, open := range b.open {
		open.Close()
	}
}

// plantsIn are the addresses of the plants at a place in a store: of the one that was published there or, where there
// is none, of those in the folders directly below.
func (b *buckets) plantsIn(place string) ([]string, error) {
	ctx, stop := context.WithTimeout(context.Background(), listWait)
	defer stop()
	a, err := bucket.Parse(place)
	if err != nil {
		return nil, err
	}
	in, prefix, err := b.at(ctx, a)
	if err != nil {
		return nil, err
	}
	there, err := in.First(ctx, prefix+across.PublishedFile, 1)
	if err != nil {
		return nil, err
	}
	if len(there) > 0 && there[0].Key == prefix+across.PublishedFile {
		return []string{place}, nil
	}
	var all []string
	for folder, err := range in.Folders(ctx, prefix) {
		if err != nil {
			return nil, err
		}
		all = append(all, a.Below(strings.TrimPrefix(folder, prefix)).String())
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("nothing is published there (%s)", a.Name())
	}
	return all, nil
}

// listWait bounds how long the folders of a store are listed.
const listWait = 2 * time.Minute

// read reads the plant that was published into a store.
func (b *buckets) read(place string) (got across.Reading, err error) {
	ctx, stop := context.WithTimeout(context.Background(), longestWait)
	defer stop()
	a, err := bucket.Parse(place)
	if err != nil {
		return got, err
	}
	in, prefix, err := b.at(ctx, a)
	if err != nil {
		return got, err
	}
	got.Kind = across.PublishedBucket
	data, err := in.Start(ctx, prefix+across.PublishedFile, across.MostRead)
	switch {
	case errors.Is(err, bucket.ErrMissing):
		return got, fmt.Errorf("there is no %s: the plant was removed, or never published there", across.PublishedFile)
	case errors.Is(err, context.DeadlineExceeded):
		return got, fmt.Errorf("no answer within %s", longestWait)
	case err != nil:
		return got, errors.New(short(err.Error()))
	}
	read, err := across.Published(bytes.NewReader(data))
	if read.Kind = got.Kind; err == nil {
		read.Link = read.Summary.Link
	}
	return read, err
}

// inStore reports whether a place is one in a store.
func inStore(place string) bool { return strings.HasPrefix(place, "s3://") }

// onDisk is the folder that a place names by an address, else the place.
func onDisk(place string) (string, error) {
	if !strings.HasPrefix(place, "file:") {
		return place, nil
	}
	a, err := bucket.Parse(place)
	if err != nil {
		return "", err
	}
	return a.Path, nil
}

// folders are the plants in a folder of folders: site folders and published ones. A folder that is one itself is the
// only one.
func plantFolders(dir string) []string {
	entries, err := os.ReadDir(dir)
	if err != nil || isSite(dir) || isPublished(dir) {
		return []string{dir}
	}
	var all []string
	for _, e := range entries {
		if sub := filepath.Join(dir, e.Name()); isSite(sub) || isPublished(sub) {
			all = append(all, sub)
		}
	}
	if len(all) == 0 {
		return []string{dir}
	}
	return all
}

func isPublished(dir string) bool {
	_, err := os.Lstat(filepath.Join(dir, across.PublishedFile))
	return err == nil
}
