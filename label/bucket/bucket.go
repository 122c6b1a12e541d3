// Package bucket keeps files in object storage: in a store that speaks the protocol of S3, or, for a
// second copy on another disk, in a folder. A file appears whole or not at all, and may be written on the
// condition that nobody else has written it.
//
//	bucket.go  what a bucket does
//	address.go the address of one, as a person writes it
//	s3.go      a store that speaks the protocol of S3
//	trouble.go its errors in the words of a person
//	folder.go  a folder on a disk
//
// buckettest has one in memory, for tests.
package bucket

import (
	"context"
	"errors"
	"iter"
	"time"
)

// Bucket is a place for files, each under a key with slashes. Many may use it at once. Its errors are one
// line for a person, without the address, and wrap [ErrMissing], [ErrChanged] or [ErrDamaged] where that is the reason,
// and [ErrUnanswered] where nobody knows whether the request was carried out.
type Bucket interface {
	// Put writes a file under the conditions of how, and gives its tag, "" where the store does not tell.
	// A file that is there already with these bytes counts as written.
	Put(ctx context.Context, key string, data []byte, how How) (tag string, err error)
	// Get reads a file of at most so many bytes.
	Get(ctx context.Context, key string, most int64) (File, error)
	// Start reads at most so many bytes from the start of a file.
	Start(ctx context.Context, key string, most int64) ([]byte, error)
	// List gives the files whose keys begin with a prefix, in the order of their keys.
	List(ctx context.Context, prefix string) iter.Seq2[Entry, error]
	// First gives the first of them, at most 1,000, with one request.
	First(ctx context.Context, prefix string, n int) ([]Entry, error)
	// Folders gives the folders directly below one, whose name ends in a slash or is "": their names end in a
	// slash too.
	Folders(ctx context.Context, folder string) iter.Seq2[string, error]
	// Delete removes a file; one that is not there counts as removed.
	Delete(ctx context.Context, key string) error
	// Requests is how many requests were sent so far; those that the store's library sends again count once.
	Requests() int64
	Close() error
}

// How says how a file is written.
type How struct {
	Type   string // content type; required by S3
	Cache  string // Cache-Control
	Digest string // SHA-256 of the bytes as text, kept as metadata

	New   bool      // only if there is no file of this key yet
	Was   string    // only if the file there still has this tag; "" for no such condition
	Until time.Time // until then the store lets nobody change or remove it; zero for no such lock
}

// File is one that was read.
type File struct {
	Data []byte
	Tag  string
}

// Entry is a file in a list.
type Entry struct {
	Key      string
	Size     int64
	Tag      string    // changes when the file is written with other bytes
	MD5      []byte    // of the bytes, where the store tells; else nil
	Modified time.Time // by the store's clock
}

// Errors of a bucket.
var (
	ErrMissing = errors.New("no such file")
	ErrChanged = errors.New("somebody else wrote this file in the meantime")
	// ErrUnanswered: what was asked for may have been done, and may even be done later.
	ErrUnanswered = errors.New("no answer from the store")
	ErrDamaged    = errors.New("its bytes are not those of the checksum that the store keeps: it was damaged or altered in the store")
)
