// Package store_test tries buckets against a real S3 server: github.com/versity/versitygw with its posix
// backend, on loopback.
package store_test

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/versity/versitygw/backend/meta"
	"github.com/versity/versitygw/backend/posix"
	"github.com/versity/versitygw/embedgw"

	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
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
	be, err := posix.New(buckets, meta.XattrMeta{}, posix.PosixOpts{VersioningDir: ""})
	if err != nil {
		panic(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	address := l.Addr().String()
	l.Close()
	endpoint = "http://" + address
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		err = embedgw.RunVersityGW(ctx, be, &embedgw.Config{RootUserAccess: "tester", RootUserSecret: "secretsecret",
			Ports: []string{address}, MaxConnections: 1000, MaxRequests: 1000, MultipartMaxParts: 10000, KeepAlive: true, Quiet: true, HealthPath: "/health"})
	}()
	defer func() {
		stop()
		<-ended
	}()
	os.Setenv("AWS_ACCESS_KEY_ID", "tester")
	os.Setenv("AWS_SECRET_ACCESS_KEY", "secretsecret")
	os.Setenv("AWS_REGION", "us-east-1")
	for until := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
		if answer, err := http.Get(endpoint + "/health"); err == nil {
			answer.Body.Close()
			break
		}
		select {
		case <-ended:
			panic(err)
		default:
		}
		if time.Now().After(until) {
			panic("the server does not answer")
		}
	}
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
