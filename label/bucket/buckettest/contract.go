package buckettest

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"testing"

	"vouchmark/label/bucket"
)

// Contract checks what [bucket.Bucket] promises on an empty one. Overwrites says that its files may be
// written again under conditions.
func Contract(t *testing.T, b bucket.Bucket, overwrites bool) {
	t.Helper()
	ctx := t.Context()
	html := bucket.How{Type: "text/html; charset=utf-8", Cache: "no-cache", Digest: "00", New: true}
	put := func(key, data string, how bucket.How, want error) string {
		t.Helper()
		tag, err := b.Put(ctx, key, []byte(data), how)
		if !errors.Is(err, want) {
			t.Fatalf("put %s: %v, want %v", key, err, want)
		}
		return tag
	}
	if _, err := b.Get(ctx, "a/1", 10); !errors.Is(err, bucket.ErrMissing) {
		t.Errorf("a file that is not there: %v", err)
	}
	put("a/1", "one", html, nil)
	put("a/1", "one", html, nil) // as after a lost answer
	put("a/1", "two", html, bucket.ErrChanged)
	f, err := b.Get(ctx, "a/1", 3)
	if err != nil || string(f.Data) != "one" || f.Tag == "" {
		t.Errorf("read back: %q %q %v", f.Data, f.Tag, err)
	}
	if start, err := b.Start(ctx, "a/1", 2); err != nil || string(start) != "on" {
		t.Errorf("the start of a file: %q %v", start, err)
	}
	if start, err := b.Start(ctx, "a/1", 9); err != nil || string(start) != "one" {
		t.Errorf("the start of a short file: %q %v", start, err)
	}
	if _, err := b.Start(ctx, "a/0", 9); !errors.Is(err, bucket.ErrMissing) {
		t.Errorf("the start of no file: %v", err)
	}
	if _, err := b.Get(ctx, "a/1", 2); err == nil {
		t.Error("more was read than allowed")
	}
	if overwrites {
		again := html
		again.New, again.Was = false, f.Tag
		put("a/1", "two", again, nil)
		put("a/1", "three", again, bucket.ErrChanged)
		put("a/9", "new", again, bucket.ErrChanged)
		put("a/1", "free", bucket.How{Type: "text/plain"}, nil)
	}

	// a list of more than one page, in the order of the keys
	var want []string
	for i := range 1005 {
		want = append(want, fmt.Sprintf("b/%04d", i))
	}
	for _, key := range want {
		put(key, key, html, nil)
	}
	put("b/c/1", "deep", html, nil)
	put("b.d/1", "next to it", html, nil)
	var got []string
	for e, err := range b.List(ctx, "b/0") {
		if err != nil {
			t.Fatal(err)
		}
		if e.Size != int64(len(e.Key)) || e.Tag == "" || e.Modified.IsZero() || e.MD5 != nil && !bytes.Equal(e.MD5, sumOf([]byte(e.Key))) {
			t.Errorf("listed as %+v", e)
		}
		got = append(got, e.Key)
	}
	if !slices.Equal(got, want[:1000]) {
		t.Errorf("listed %d files, want 1000 in order", len(got))
	}
	all := 0
	for _, err := range b.List(ctx, "b/") {
		if all++; err != nil {
			t.Fatal(err)
		}
	}
	if all != 1006 {
		t.Errorf("listed %d files, want 1006", all)
	}
	if first, err := b.First(ctx, "b/", 2); err != nil || len(first) != 2 || first[1].Key != "b/0001" {
		t.Errorf("the first two: %v %v", first, err)
	}
	folders := func(of string) (names []string) {
		for name, err := range b.Folders(ctx, of) {
			if err != nil {
				t.Fatal(err)
			}
			names = append(names, name)
		}
		slices.Sort(names)
		return names
	}
	if got := folders(""); !slices.Equal(got, []string{"a/", "b.d/", "b/"}) {
		t.Errorf("folders %v", got)
	}
	if got := folders("b/"); !slices.Equal(got, []string{"b/c/"}) {
		t.Errorf("folders in b %v", got)
	}
	for range 2 {
		if err := b.Delete(ctx, "b/c/1"); err != nil {
			t.Errorf("delete: %v", err)
		}
	}
	if _, err := b.Get(ctx, "b/c/1", 10); !errors.Is(err, bucket.ErrMissing) {
		t.Errorf("a removed file: %v", err)
	}
	if b.Requests() < 1000 {
		t.Errorf("%d requests counted", b.Requests())
	}
}
