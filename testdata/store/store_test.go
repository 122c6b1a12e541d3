// Package store_test tries buckets against a real S3 server; see package gateway.
package store_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
	"vouchmark/testdata/store/gateway"
)

// The server, the folder in which each folder is a bucket, and that of the program: the server's backend goes to a
// working folder of its own.
var endpoint, buckets, top string

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	var err error
	if top, err = filepath.Abs(filepath.Join("..", "..")); err != nil {
		panic(err)
	}
	dir, err := os.MkdirTemp("", "store")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	buckets = filepath.Join(dir, "buckets")
	if err := os.Mkdir(buckets, 0o755); err != nil {
		panic(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	address, ended, err := gateway.Start(ctx, buckets)
	if err != nil {
		panic(err)
	}
	endpoint = address
	defer func() {
		stop()
		<-ended
	}()
	os.Setenv("AWS_ACCESS_KEY_ID", gateway.Key)
	os.Setenv("AWS_SECRET_ACCESS_KEY", gateway.Secret)
	os.Setenv("AWS_REGION", gateway.Region)
	return m.Run()
}

// made is the address of a new bucket, and its folder.
func made(t *testing.T, name, prefix string) (address, dir string) {
	t.Helper()
	dir = filepath.Join(buckets, name)
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("s3://%s?prefix=%s&endpoint=%s&use_path_style=true", name, prefix, endpoint), filepath.Join(dir, prefix)
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

func TestContract(t *testing.T) {
	address, _ := made(t, "contract", "plants/north/")
	buckettest.Contract(t, open(t, address), true)
}

// program is vouchmark, built once.
var program = sync.OnceValues(func() (string, error) {
	file := filepath.Join(filepath.Dir(buckets), "vouchmark")
	out, err := exec.Command("go", "build", "-C", top, "-o", file, ".").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w\n%s", err, out)
	}
	return file, err
})

// vouchmark runs the program.
func vouchmark(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	file, err := program()
	if err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	c := exec.Command(file, args...)
	c.Stdout, c.Stderr = &out, &errs
	if err := c.Run(); err != nil && c.ProcessState == nil {
		t.Fatal(err)
	}
	return c.ProcessState.ExitCode(), out.String(), errs.String()
}
