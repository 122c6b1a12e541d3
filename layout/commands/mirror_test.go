package commands

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"vouchmark/assess"
	"vouchmark/label/record"
)

var mirroring = []Command{
	{Name: "print", Short: "print", Setup: Print},
	{Name: "withdraw", Args: "ID", Short: "withdraw", Operands: [2]int{1, 1}, Setup: Withdraw},
	{Name: "records mirror", Args: "[URL]", Short: "mirror", Operands: [2]int{0, 1}, Setup: Mirror},
}

// mirrorRun is one call; what is said on stdout and on stderr.
func mirrorRun(args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = Run(&Env{Stdout: &out, Stderr: &errs, Now: time.Now, Width: 200}, mirroring, args)
	return code, out.String(), errs.String()
}

// mirroredTo begins a mirror in a new folder, and gives that.
func mirroredTo(t *testing.T, dir string) string {
	t.Helper()
	second := filepath.Join(t.TempDir(), "second")
	if code, _, stderr := mirrorRun("records", "mirror", "file://"+filepath.ToSlash(second), "--site", dir); code != 0 {
		t.Fatal(stderr)
	}
	return second
}

// linesIn is the text of the lines in a mirror.
func linesIn(t *testing.T, second string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(second, "lines", "*"))
	text := ""
	for _, f := range files {
		data, e := os.ReadFile(f)
		if e != nil {
			err = e
		}
		text += string(data)
	}
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// A store that takes the connection and never answers costs a command a short time, and nothing else.
func TestMirrorThatNeverAnswers(t *testing.T) {
	dir := printed(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	t.Setenv("AWS_ACCESS_KEY_ID", "tester")
	t.Setenv("AWS_SECRET_ACCESS_KEY", "secretsecret")
	text := fmt.Sprintf("[[mirror]]\naddress = \"s3://plants?region=r&use_path_style=true&endpoint=http://%s\"\n", l.Addr())
	if err := os.WriteFile(filepath.Join(dir, record.MirrorFile), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	defer func(was time.Duration) { mirrorTime = was }(mirrorTime)
	mirrorTime = 200 * time.Millisecond
	code, stdout, stderr := mirrorRun("withdraw", "REP-LP1", "--site", dir, "--today", "2026-05-02", "--reason", "worn")
	if code != 0 || !strings.Contains(stdout, "is withdrawn") {
		t.Errorf("exit code %d, %s", code, stdout)
	}
	if want := "at least 1 ledger line waits for the mirror: it did not answer in time; vouchmark records mirror sends them"; !strings.Contains(stderr, want) {
		t.Errorf("it says %q, want %q", stderr, want)
	}
}

// A server sends what its forms write, says once that it cannot, tries again later by itself, and says when that is over.
func TestServerSends(t *testing.T) {
	dir := printed(t)
	second := mirroredTo(t, dir)
	away := second + ".away"
	today, err := assess.ParseDate("2026-05-02")
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		e := &Env{Now: time.Now, site: dir, today: today, last: &record.LastRead{}, wrote: &wrote{more: make(chan struct{}, 1)}}
		ctx, stop := context.WithCancel(t.Context())
		var said []string
		ended := make(chan struct{})
		go func() {
			e.keepMirror(ctx, func(format string, a ...any) { said = append(said, fmt.Sprintf(format, a...)) })
			close(ended)
		}()
		note := func(reason string) {
			t.Helper()
			err := e.store().Note(func(*record.Ledger) (record.Line, error) {
				return record.Line{Kind: record.Withdrawn, Date: today, Reason: reason}, nil
			})
			if err != nil {
				t.Fatal(err)
			}
			synctest.Wait()
		}
		same := func() bool {
			data, err := os.ReadFile(filepath.Join(dir, record.LedgerFile))
			if err != nil {
				t.Fatal(err)
			}
			return linesIn(t, second) == string(data)
		}
		synctest.Wait()
		if note("worn"); !same() || said != nil {
			t.Fatalf("a line is not there: %q", said)
		}
		if err := os.Rename(second, away); err != nil {
			t.Fatal(err)
		}
		note("worn again")
		note("and again")
		time.Sleep(24 * time.Hour)
		synctest.Wait()
		if len(said) != 1 || !strings.HasPrefix(said[0], "at least 1 ledger line waits for the mirror: there is no such folder") {
			t.Errorf("it says %q", said)
		}
		if err := os.Rename(away, second); err != nil {
			t.Fatal(err)
		}
		time.Sleep(mirrorSeldom)
		synctest.Wait()
		if !same() || len(said) != 2 || said[1] != "the mirror has all lines of the ledger again" {
			t.Errorf("later: %q", said)
		}
		stop()
		<-ended
	})
}
