package bucket_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
)

func TestContract(t *testing.T) {
	t.Run("memory", func(t *testing.T) { buckettest.Contract(t, buckettest.NewMemory(), true) })
	t.Run("folder", func(t *testing.T) { buckettest.Contract(t, open(t, "file://"+t.TempDir()), false) })
}

func open(t *testing.T, address string) bucket.Bucket {
	t.Helper()
	a, err := bucket.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	b, err := a.Open(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

// Two that open a folder apart, as two processes do, never both write the same name.
func TestFolderGivesANameOnce(t *testing.T) {
	dir := t.TempDir()
	var wins, other atomic.Int64
	var all sync.WaitGroup
	for writer := range 4 {
		b := open(t, "file://"+dir)
		all.Go(func() {
			for i := range 200 {
				_, err := b.Put(t.Context(), fmt.Sprintf("k/%d", i), fmt.Appendf(nil, "writer %d", writer), bucket.How{New: true})
				switch err {
				case nil:
					wins.Add(1)
				case bucket.ErrChanged:
					other.Add(1)
				default:
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if wins.Load() != 200 || other.Load() != 600 {
		t.Errorf("%d names were given and %d refused, want 200 and 600", wins.Load(), other.Load())
	}
	if left, err := os.ReadDir(dir + "/.new"); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
}

func TestAddresses(t *testing.T) {
	for text, want := range map[string]string{
		"s3://plants":                                     "s3://plants/",
		"s3://plants?prefix=north/creamery":               "s3://plants/north/creamery/",
		"s3://plants?prefix=/north/&region=eu-central-1":  "s3://plants/north/",
		"s3://plants/?prefix=a/&endpoint=http://host:900": "s3://plants/a/",
		"file:///srv/copy":                                "file:///srv/copy",
	} {
		a, err := bucket.Parse(text)
		if err != nil || a.Name() != want || a.String() != text {
			t.Errorf("%s is %v, %v", text, a, err)
		}
	}
	for text, say := range map[string]string{
		"s3://plants/north?region=x":        "write s3://plants?prefix=north/",
		"s3://key:secret@plants":            "must not hold a name or password",
		"s3://?prefix=a":                    "name of the bucket is missing",
		"s3://plants?prefix=a//b":           "one slash between",
		"s3://plants?prefix=../b":           "one slash between",
		"s3://plants?prefix=a&prefix=b":     "given twice",
		"s3://plants?aws_secret=abc":        `"aws_secret" is not known`,
		"s3://plants#x":                     "no #",
		"file://host/path":                  "three slashes",
		"file:path":                         "three slashes",
		"file:///path?create_dir=1":         "no settings",
		"gs://plants":                       "gs:// is not known",
		"s3://plants?prefix=%zz":            "cannot be read",
		"https://example.com/vouchmark.zip": "https:// is not known",
	} {
		if a, err := bucket.Parse(text); err == nil || !strings.Contains(err.Error(), say) {
			t.Errorf("%s is %v, %v; want an error with %q", text, a, err, say)
		}
	}
	a, _ := bucket.Parse("s3://plants?prefix=north&region=r")
	below, err := bucket.Parse(a.Below("mill/").String())
	if err != nil || below.Name() != "s3://plants/north/mill/" || !strings.Contains(below.String(), "region=r") {
		t.Errorf("below: %v %v", below, err)
	}
	a, _ = bucket.Parse("file:///srv/plants/")
	if below, err := bucket.Parse(a.Below("a b/").String()); err != nil || below.Path != "/srv/plants/a b" {
		t.Errorf("below: %v %v", below, err)
	}
}

// What a killed process left goes when somebody writes a day later.
func TestFolderSweeps(t *testing.T) {
	dir := t.TempDir()
	put := func(key string) {
		t.Helper()
		if _, err := open(t, "file://"+dir).Put(t.Context(), key, []byte(key), bucket.How{New: true}); err != nil {
			t.Fatal(err)
		}
	}
	put("a")
	for name, age := range map[string]time.Duration{"1-1": 25 * time.Hour, "2-1": time.Hour} {
		file := filepath.Join(dir, ".new", name)
		then := time.Now().Add(-age)
		if err := errors.Join(os.WriteFile(file, []byte("half"), 0o644), os.Chtimes(file, then, then)); err != nil {
			t.Fatal(err)
		}
	}
	put("b")
	left, err := os.ReadDir(filepath.Join(dir, ".new"))
	if err != nil || len(left) != 1 || left[0].Name() != "2-1" {
		t.Errorf("left %v, %v", left, err)
	}
}
