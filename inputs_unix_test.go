//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What is not a regular file is refused by its kind before it is opened, wherever a file is read:
// a pipe would wait for a writer, a device may have no end.
func TestKindsOfInputs(t *testing.T) {
	private := filepath.Join(t.TempDir(), "k")
	if err := os.WriteFile(private, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	kinds := map[string]struct {
		put  func(path string) error
		want string
	}{
		"pipe":   {func(path string) error { return syscall.Mkfifo(path, 0o600) }, "found a pipe"},
		"device": {func(path string) error { return os.Symlink("/dev/zero", path) }, "found a device"},
		"folder": {func(path string) error { return os.Mkdir(path, 0o700) }, "found a folder"},
	}
	const in = "{in}"
	for what, args := range map[string][]string{
		"site.toml":         {"check"},
		"locations.csv":     {"check"},
		"changes.toml":      {"check"},
		"devices.csv":       {"check"},
		"wording/en.toml":   {"check"},
		"curves/c.csv":      {"check"},
		"keys.txt":          {"check"},
		"ledger.jsonl":      {"check"},
		"intake.toml":       {"intake", "samples/bakery/HB-26.csv"},
		"a study":           {"intake", in},
		"a curve":           {"arc", "--fault-ka", "20", "--curve", in},
		"suppose's curve":   {"suppose", "--at", "RAW-MC1", "--curve", in},
		"an archive":        {"audit", in},
		"one to import":     {"records", "import", in},
		"another's keys":    {"audit", "--keys", in},
		"a walk list":       {"mounted", "--from", in},
		"a list of a round": {"seen", "--from", in},
		"a private key":     {"sign", "ledger", "--key", in},
		"a passphrase":      {"serve", "--allow-writes", "--addr", "127.0.0.1:0", "--passphrase-file", in},
		"a certificate":     {"serve", "--addr", "127.0.0.1:0", "--tls-cert", in, "--tls-key", private},
		"its private key":   {"serve", "--addr", "127.0.0.1:0", "--tls-cert", private, "--tls-key", in},
		"the ledger's copy": {"print", "--out", "{out}"},
	} {
		for kind, k := range kinds {
			dir := creamery(t)
			path := filepath.Join(t.TempDir(), "in")
			if strings.Contains(what, ".") {
				path = filepath.Join(dir, what)
			}
			if what == "the ledger's copy" {
				path = filepath.Join(dir, "ledger.jsonl")
			}
			if what == "curves/c.csv" {
				file := filepath.Join(dir, "locations.csv")
				replaceIn(t, file, "prepared", "prepared,curve")
				replaceIn(t, file, "2026-03-14", "2026-03-14,c.csv")
			}
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			os.Remove(path)
			if err := k.put(path); err != nil {
				t.Fatal(err)
			}
			given := make([]string, len(args))
			for i, a := range args {
				given[i] = strings.NewReplacer(in, path, "{out}", filepath.Join(t.TempDir(), "x.pdf")).Replace(a)
			}
			if args[0] != "arc" {
				given = at(dir, given...)
			}
			var code int
			var text string
			done := make(chan bool)
			go func() {
				defer close(done)
				took := allocated(func() {
					var stdout, stderr string
					code, stdout, stderr = call(t, given...)
					text = stdout + stderr
				})
				if took > 64<<20 {
					t.Errorf("%s, %s: %d MB", what, kind, took>>20)
				}
			}()
			select {
			case <-done:
			case <-time.After(time.Minute): // it waits for ever
				t.Fatalf("%s, %s: %v never ends", what, kind, given)
			}
			if code != 2 && code != 3 && code != 1 || !strings.Contains(text, k.want) || !strings.Contains(text, "expected a regular file") {
				t.Errorf("%s, %s: exit %d\n%s", what, kind, code, text)
			}
		}
	}
}
