package bucket

import (
	"bytes"
	"cmp"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"strings"
	"sync/atomic"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/feature/s3/transfermanager"
	transfer "github.com/aws/aws-sdk-go-v2/feature/s3/transfermanager/types"
	"github.com/aws/aws-sdk-go-v2/service/s3"
	"github.com/aws/aws-sdk-go-v2/service/s3/types"
	"gocloud.dev/blob"
	"gocloud.dev/blob/s3blob"
)

// noMetadataService keeps the store's library from asking an address of a cloud for credentials, which other
// machines wait for. Who runs in that cloud sets it to false.
const noMetadataService = "AWS_EC2_METADATA_DISABLED"

const checksums = "response_checksum_validation"

// tries is how often a request is sent that met another one about the same key.
const tries = 4

// digestKey is the name of the metadata that holds the SHA-256.
const digestKey = "sha256"

type store struct {
	blob *blob.Bucket // below the prefix
	sent atomic.Int64
}

func openS3(ctx context.Context, a *Address) (Bucket, error) {
	if _, set := os.LookupEnv(noMetadataService); !set {
		os.Setenv(noMetadataService, "true")
	}
	// The library prints a line for each file of which a store gives no checksum. What is read is checked here: by its length,
	// and by whoever reads it.
	to, query := *a.store, a.store.Query()
	if !query.Has(checksums) {
		query.Set(checksums, "when_required")
		to.RawQuery = query.Encode()
	}
	b, err := (&s3blob.URLOpener{}).OpenBucketURL(ctx, &to)
	if err != nil {
		return nil, errors.New(short(err))
	}
	if a.Prefix != "" {
		b = blob.PrefixedBucket(b, a.Prefix)
	}
	return &store{blob: b}, nil
}

func (s *store) Close() error    { return s.blob.Close() }
func (s *store) Requests() int64 { return s.sent.Load() }

func (s *store) Put(ctx context.Context, key string, data []byte, how How) (string, error) {
	for try := 1; ; try++ {
		tag, err := s.put(ctx, key, data, how)
		switch {
		case err == nil:
			return tag, nil
		case busy(err) && try < tries: // S3 asks for another try where two writers meet
			select {
			case <-time.After(time.Duration(try*try) * 50 * time.Millisecond):
				continue
			case <-ctx.Done():
				return "", ctx.Err()
			}
		case how.Was != "" && errors.Is(trouble(err), ErrMissing): // what was there is gone
			return "", ErrChanged
		case !refused(err) && !(how.New && denied(err)): // some stores deny first what a lock protects
			return "", trouble(err)
		}
		// It may be our own: the library sends again what got no answer.
		there, e := s.Get(ctx, key, int64(len(data)))
		if e == nil && bytes.Equal(there.Data, data) {
			return there.Tag, nil
		}
		if e != nil && denied(err) {
			if _, e := s.Start(ctx, key, 1); e != nil { // nothing is there, or it may not be read: it was not the lock
				return "", trouble(err)
			}
		}
		return "", ErrChanged
	}
}

func (s *store) put(ctx context.Context, key string, data []byte, how How) (tag string, err error) {
	s.sent.Add(1)
	o := &blob.WriterOptions{ContentType: how.Type, CacheControl: how.Cache, IfNotExist: how.New, DisableContentTypeDetection: true}
	if how.Digest != "" {
		o.Metadata = map[string]string{digestKey: how.Digest}
	}
	o.BeforeWrite = func(as func(any) bool) error {
		var in *transfermanager.UploadObjectInput
		if !as(&in) {
			return errors.New("this store takes no conditions")
		}
		if how.Was != "" {
			in.IfMatch = aws.String(how.Was)
		}
		if !how.Until.IsZero() {
			in.ObjectLockMode = transfer.ObjectLockModeCompliance
			in.ObjectLockRetainUntilDate = aws.Time(how.Until)
		}
		return nil
	}
	return "", s.blob.Upload(ctx, key, bytes.NewReader(data), o)
}

func (s *store) Get(ctx context.Context, key string, most int64) (f File, err error) {
	s.sent.Add(1)
	r, err := s.blob.NewReader(ctx, key, nil)
	if err != nil {
		return f, trouble(err)
	}
	defer r.Close()
	var head s3.GetObjectOutput
	if r.As(&head) {
		f.Tag = aws.ToString(head.ETag)
	}
	if r.Size() > most {
		return f, fmt.Errorf("it has %d bytes, more than the %d that are read", r.Size(), most)
	}
	f.Data, err = io.ReadAll(io.LimitReader(r, most+1))
	switch {
	case err != nil:
		return f, trouble(err)
	case int64(len(f.Data)) > most:
		return f, fmt.Errorf("it has more than the %d bytes that are read", most)
	case int64(len(f.Data)) != r.Size():
		return f, errors.New("the store sent a part of it alone")
	}
	return f, nil
}

func (s *store) Start(ctx context.Context, key string, most int64) ([]byte, error) {
	s.sent.Add(1)
	r, err := s.blob.NewRangeReader(ctx, key, 0, most, nil)
	if err != nil {
		return nil, trouble(err)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most))
	return data, trouble(err)
}

// perPage is what S3 gives in an answer at most.
const perPage = 1000

func (s *store) page(ctx context.Context, token []byte, n int, o *blob.ListOptions) ([]*blob.ListObject, []byte, error) {
	s.sent.Add(1)
	all, next, err := s.blob.ListPage(ctx, token, n, o)
	return all, next, trouble(err)
}

func entry(o *blob.ListObject) Entry {
	e := Entry{Key: o.Key, Size: o.Size, MD5: o.MD5, Modified: o.ModTime}
	var raw types.Object
	if o.As(&raw) {
		e.Tag = aws.ToString(raw.ETag)
	}
	e.Tag = cmp.Or(e.Tag, hex.EncodeToString(o.MD5))
	return e
}

func (s *store) First(ctx context.Context, prefix string, n int) (all []Entry, err error) {
	page, _, err := s.page(ctx, blob.FirstPageToken, min(n, perPage), &blob.ListOptions{Prefix: prefix})
	for _, o := range page {
		all = append(all, entry(o))
	}
	return all, err
}

func (s *store) List(ctx context.Context, prefix string) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		for o, err := range s.all(ctx, &blob.ListOptions{Prefix: prefix}) {
			if err != nil {
				yield(Entry{}, err)
				return
			}
			if !yield(entry(o), nil) {
				return
			}
		}
	}
}

func (s *store) Folders(ctx context.Context, folder string) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		for o, err := range s.all(ctx, &blob.ListOptions{Prefix: folder, Delimiter: "/"}) {
			switch {
			case err != nil:
				yield("", err)
				return
			case o.IsDir && !yield(o.Key, nil):
				return
			}
		}
	}
}

func (s *store) all(ctx context.Context, o *blob.ListOptions) iter.Seq2[*blob.ListObject, error] {
	return func(yield func(*blob.ListObject, error) bool) {
		for token := blob.FirstPageToken; len(token) > 0; {
			page, next, err := s.page(ctx, token, perPage, o)
			if err != nil {
				yield(nil, err)
				return
			}
			for _, o := range page {
				if !yield(o, nil) {
					return
				}
			}
			token = next
		}
	}
}

func (s *store) Delete(ctx context.Context, key string) error {
	s.sent.Add(2) // the library looks first
	err := trouble(s.blob.Delete(ctx, key))
	if errors.Is(err, ErrMissing) {
		return nil
	}
	return err
}

// short is an error as one line.
func short(err error) string { return strings.Join(strings.Fields(err.Error()), " ") }
