// Package buckettest has a bucket in memory, and what every bucket must do.
package buckettest

import (
	"bytes"
	"context"
	"crypto/md5"
	"encoding/hex"
	"iter"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"vouchmark/label/bucket"
)

// Memory is a bucket in memory, for tests. Its hook may make any request fail.
type Memory struct {
	// Before, if not nil, is called before each request, such as ("put", "gen/1.begin"); its error is the
	// request's, which then changes nothing. After is called after each that succeeded: its error is that of a
	// request whose answer was lost.
	Before, After func(what, key string) error
	Now           func() time.Time

	mu    sync.Mutex
	files map[string]stored
	sent  int64
	bytes int64
}

type stored struct {
	data     []byte
	sum      []byte // its MD5
	how      bucket.How
	modified time.Time
}

// NewMemory is an empty one.
func NewMemory() *Memory { return &Memory{Now: time.Now, files: map[string]stored{}} }

// Files are the bytes of all files, by key.
func (m *Memory) Files() map[string][]byte {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := map[string][]byte{}
	for key, f := range m.files {
		all[key] = f.data
	}
	return all
}

// HowOf is how a file was written.
func (m *Memory) HowOf(key string) bucket.How {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.files[key].how
}

// Alter changes or, with nil, removes a file as somebody would who has access to the store.
func (m *Memory) Alter(key string, data []byte) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if data == nil {
		delete(m.files, key)
		return
	}
	m.files[key] = stored{data, sumOf(data), m.files[key].how, m.Now()}
}

// do carries out a request. The hooks run without the lock, so that they may use the bucket.
func (m *Memory) do(ctx context.Context, what, key string, request func() error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if m.Before != nil {
		if err := m.Before(what, key); err != nil {
			return err
		}
	}
	m.mu.Lock()
	m.sent++
	err := request()
	m.mu.Unlock()
	if err == nil && m.After != nil {
		err = m.After(what, key)
	}
	return err
}

// Put is [bucket.Bucket.Put].
func (m *Memory) Put(ctx context.Context, key string, data []byte, how bucket.How) (tag string, err error) {
	err = m.do(ctx, "put", key, func() error {
		old, there := m.files[key]
		tag = tagOf(sumOf(data))
		switch {
		case there && (how.New || how.Was != "") && bytes.Equal(old.data, data):
			return nil
		case there && how.New, how.Was != "" && (!there || how.Was != tagOf(old.sum)):
			return bucket.ErrChanged
		case there && m.Now().Before(old.how.Until):
			return bucket.ErrChanged
		}
		m.files[key] = stored{bytes.Clone(data), sumOf(data), how, m.Now()}
		m.bytes += int64(len(data))
		return nil
	})
	return tag, err
}

// Get is [bucket.Bucket.Get].
func (m *Memory) Get(ctx context.Context, key string, most int64) (f bucket.File, err error) {
	err = m.do(ctx, "get", key, func() error {
		file, there := m.files[key]
		if !there || int64(len(file.data)) > most {
			return bucket.ErrMissing
		}
		f = bucket.File{Data: bytes.Clone(file.data), Tag: tagOf(file.sum)}
		return nil
	})
	return f, err
}

// Start is [bucket.Bucket.Start].
func (m *Memory) Start(ctx context.Context, key string, most int64) (data []byte, err error) {
	err = m.do(ctx, "get", key, func() error {
		file, there := m.files[key]
		if !there {
			return bucket.ErrMissing
		}
		data = bytes.Clone(file.data[:min(int64(len(file.data)), most)])
		return nil
	})
	return data, err
}

// First is [bucket.Bucket.First].
func (m *Memory) First(ctx context.Context, prefix string, n int) (all []bucket.Entry, err error) {
	err = m.do(ctx, "list", prefix, func() error {
		all = m.list(prefix, "", n)
		return nil
	})
	return all, err
}

func (m *Memory) list(prefix, after string, n int) (all []bucket.Entry) {
	for _, key := range slices.Sorted(maps.Keys(m.files)) {
		if !strings.HasPrefix(key, prefix) || key <= after {
			continue
		}
		if len(all) == n {
			break
		}
		f := m.files[key]
		all = append(all, bucket.Entry{Key: key, Size: int64(len(f.data)), Tag: tagOf(f.sum), MD5: f.sum, Modified: f.modified})
	}
	return all
}

// List is [bucket.Bucket.List].
func (m *Memory) List(ctx context.Context, prefix string) iter.Seq2[bucket.Entry, error] {
	return func(yield func(bucket.Entry, error) bool) {
		for after := ""; ; {
			var page []bucket.Entry
			err := m.do(ctx, "list", prefix, func() error {
				page = m.list(prefix, after, 1000)
				return nil
			})
			if err != nil {
				yield(bucket.Entry{}, err)
				return
			}
			for _, e := range page {
				if !yield(e, nil) {
					return
				}
				after = e.Key
			}
			if len(page) < 1000 {
				return
			}
		}
	}
}

// Folders is [bucket.Bucket.Folders].
func (m *Memory) Folders(ctx context.Context, folder string) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		last := ""
		for e, err := range m.List(ctx, folder) {
			if err != nil {
				yield("", err)
				return
			}
			name, _, below := strings.Cut(strings.TrimPrefix(e.Key, folder), "/")
			if !below || name == last {
				continue
			}
			if last = name; !yield(folder+name+"/", nil) {
				return
			}
		}
	}
}

// Delete is [bucket.Bucket.Delete].
func (m *Memory) Delete(ctx context.Context, key string) error {
	return m.do(ctx, "delete", key, func() error {
		delete(m.files, key)
		return nil
	})
}

// Requests is [bucket.Bucket.Requests].
func (m *Memory) Requests() int64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.sent
}

// Close is [bucket.Bucket.Close].
func (m *Memory) Close() error { return nil }

// Sent are the bytes of all files that were written.
func (m *Memory) Sent() int64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.bytes
}

func tagOf(sum []byte) string { return hex.EncodeToString(sum) }

func sumOf(data []byte) []byte {
	sum := md5.Sum(data)
	return sum[:]
}
