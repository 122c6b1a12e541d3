package store_test

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/config"
	"github.com/aws/aws-sdk-go-v2/service/s3"

	"vouchmark/layout/commands"
)

// samples is found before the server starts, which changes to its own folder.
var samples, _ = filepath.Abs("../../samples")

var mirroring = []commands.Command{
	{Name: "print", Short: "print", Setup: commands.Print},
	{Name: "withdraw", Args: "ID", Short: "withdraw", Operands: [2]int{1, 1}, Setup: commands.Withdraw},
	{Name: "records mirror", Args: "[URL]", Short: "mirror", Operands: [2]int{0, 1}, Setup: commands.Mirror},
	{Name: "audit", Short: "audit", Operands: [2]int{0, 1}, Setup: commands.Audit},
}

// call is one call of the program in a site folder; what is said on stdout and on stderr.
func call(t *testing.T, site string, want int, args ...string) (stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	args = append(args, "--site", site, "--today", "2026-05-01")
	code := commands.Run(&commands.Env{Stdout: &out, Stderr: &errs, Now: time.Now, Width: 400}, mirroring, args)
	if code != want {
		t.Fatalf("%s: exit code %d, want %d\n%s\n%s", args, code, want, &out, &errs)
	}
	return out.String(), errs.String()
}

// plant is a copy of a sample with some labels printed.
func plant(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(samples, "creamery"))); err != nil {
		t.Fatal(err)
	}
	os.Remove(filepath.Join(dir, "ledger.jsonl")) // whoever tried the sample has one
	os.RemoveAll(filepath.Join(dir, "records"))
	call(t, dir, 0, "print", "--only", "RAW-MC1,SEP-MC2,CHN-MC3", "--out", filepath.Join(t.TempDir(), "labels.pdf"))
	return dir
}

// linesIn is the text of the lines in the folder of a bucket.
func linesIn(t *testing.T, dir string) (text string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "lines", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text += string(data)
	}
	return text
}

func ledgerOf(t *testing.T, site string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(site, "ledger.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// line is the connection to the server, which can be cut.
type line struct {
	address string
	mu      sync.Mutex
	open    net.Listener
	conns   []net.Conn
}

func (l *line) connect(t *testing.T) {
	t.Helper()
	at := l.address
	if at == "" {
		at = "127.0.0.1:0"
	}
	ln, err := net.Listen("tcp", at)
	if err != nil {
		t.Fatal(err)
	}
	l.address, l.open = ln.Addr().String(), ln
	go func() {
		for {
			in, err := ln.Accept()
			if err != nil {
				return
			}
			out, err := net.Dial("tcp", strings.TrimPrefix(endpoint, "http://"))
			if err != nil {
				in.Close()
				continue
			}
			l.mu.Lock()
			l.conns = append(l.conns, in, out)
			l.mu.Unlock()
			go io.Copy(in, out)
			go io.Copy(out, in)
		}
	}()
}

func (l *line) cut() {
	l.open.Close()
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range l.conns {
		c.Close()
	}
	l.conns = nil
}

// The mirror in a real store: started, kept up, cut off and caught up; a second copy that writes; a folder that was
// rewritten; a line that was altered in the store, which still gives the digest that it had.
func TestMirror(t *testing.T) {
	site := plant(t)
	_, dir := made(t, "mirror", "plants/north/")
	var l line
	l.connect(t)
	defer l.cut()
	address := fmt.Sprintf("s3://mirror?prefix=plants/north/&endpoint=http://%s&use_path_style=true", l.address)
	stdout, _ := call(t, site, 0, "records", "mirror", address)
	if want := "2 of 2 lines of the ledger; sent now: 2 lines, 3 other files"; !strings.Contains(stdout, want) {
		t.Errorf("it says %q, want %q", stdout, want)
	}
	if _, stderr := call(t, site, 0, "withdraw", "RAW-MC1", "--reason", "worn"); stderr != "" || linesIn(t, dir) != ledgerOf(t, site) {
		t.Errorf("a line is not there: %s", stderr)
	}

	l.cut()
	_, stderr := call(t, site, 0, "withdraw", "SEP-MC2", "--reason", "worn")
	if want := "at least 1 ledger line waits for the mirror: no connection to the store"; !strings.Contains(stderr, want) {
		t.Errorf("cut off, it says %q, want %q", stderr, want)
	}
	l.connect(t)
	second := t.TempDir() // a copy from before the mirror catches up
	if err := os.CopyFS(second, os.DirFS(site)); err != nil {
		t.Fatal(err)
	}
	if _, stderr := call(t, site, 0, "withdraw", "CHN-MC3", "--reason", "worn"); stderr != "" || linesIn(t, dir) != ledgerOf(t, site) {
		t.Errorf("connected again, a line is not there: %s", stderr)
	}
	if stdout, _ := call(t, site, 0, "audit", "--mirror", address, "--full"); !strings.Contains(stdout, "5 lines; 5 of them as here, with 3 other files; ") {
		t.Error(stdout)
	}

	_, stderr = call(t, second, 0, "print", "--only", "RAW-MC1", "--out", filepath.Join(t.TempDir(), "labels.pdf"))
	if want := "line 5 of the mirror differs from that of the ledger (mirror: withdrawn, 2026-05-01; ledger: print, 2026-05-01)"; !strings.Contains(stderr, want) {
		t.Errorf("the second copy is told %q, want %q", stderr, want)
	}
	stdout, _ = call(t, second, 1, "audit", "--mirror", address)
	if want := "ledger.jsonl, line 5: it differs from line 5 of the mirror"; !strings.Contains(stdout, want) {
		t.Errorf("an audit of it says %q, want %q", stdout, want)
	}

	file := filepath.Join(dir, "lines", "0000000003")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, bytes.Replace(data, []byte("worn"), []byte("torn"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	stdout, _ = call(t, site, 1, "audit", "--mirror", address)
	if want := "mirror, lines/0000000003: "; !strings.Contains(stdout, want) || !strings.Contains(stdout, "NOT intact: 1 problem") {
		t.Errorf("a line altered in the store: %s", stdout)
	}
}

// A store with object lock keeps what was sent; one without refuses in one line.
func TestMirrorLocked(t *testing.T) {
	site := plant(t)
	open, _ := made(t, "unlocked", "")
	_, stderr := call(t, site, 4, "records", "mirror", strings.Replace(open, "prefix=&", "", 1), "--lock", "30")
	if want := "the bucket has no object lock"; strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, want) {
		t.Errorf("it says %q, want %q", stderr, want)
	}
	if _, err := os.Stat(filepath.Join(site, "mirror.toml")); err == nil {
		t.Error("the address was kept")
	}

	c, err := config.LoadDefaultConfig(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	client := s3.NewFromConfig(c, func(o *s3.Options) { o.BaseEndpoint, o.UsePathStyle = aws.String(endpoint), true })
	_, err = client.CreateBucket(t.Context(), &s3.CreateBucketInput{Bucket: aws.String("locked"), ObjectLockEnabledForBucket: aws.Bool(true)})
	if err != nil {
		t.Fatal(err)
	}
	call(t, site, 0, "print", "--only", "RAW-MC1", "--out", filepath.Join(t.TempDir(), "labels.pdf")) // its record is there already
	call(t, site, 0, "records", "mirror", "s3://locked?use_path_style=true&endpoint="+endpoint, "--lock", "30")
	if _, stderr := call(t, site, 0, "withdraw", "RAW-MC1", "--reason", "worn"); stderr != "" || linesIn(t, filepath.Join(buckets, "locked")) != ledgerOf(t, site) {
		t.Errorf("a line is not there: %s", stderr)
	}
	for _, key := range []string{"lines/0000000003", "heads/9999999994", "mirror.json"} {
		_, err := client.DeleteObject(t.Context(), &s3.DeleteObjectInput{Bucket: aws.String("locked"), Key: aws.String(key)})
		if err == nil {
			t.Errorf("%s was removed", key)
		}
		if _, err = client.PutObject(t.Context(), &s3.PutObjectInput{Bucket: aws.String("locked"), Key: aws.String(key), Body: strings.NewReader("x")}); err == nil {
			t.Errorf("%s was overwritten", key)
		}
	}
	// another copy of the folder, whose next line is longer and shorter than the locked one, is told that they part
	for _, reason := range []string{"x", strings.Repeat("torn ", 20)} {
		other := t.TempDir()
		if err := os.CopyFS(other, os.DirFS(site)); err != nil {
			t.Fatal(err)
		}
		lines := strings.SplitAfter(ledgerOf(t, other), "\n")
		if err := os.WriteFile(filepath.Join(other, "ledger.jsonl"), []byte(strings.Join(lines[:len(lines)-2], "")), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, stderr := call(t, other, 0, "withdraw", "RAW-MC1", "--reason", reason); !strings.Contains(stderr, "differs from that of the ledger") {
			t.Errorf("it says %q", stderr)
		}
	}
}
