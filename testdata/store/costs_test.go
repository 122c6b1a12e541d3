package store_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// VOUCHMARK_COSTS=10000 logs what publishing so many labels costs: requests, bytes, time.
func TestCosts(t *testing.T) {
	labels := os.Getenv("VOUCHMARK_COSTS")
	if labels == "" {
		t.Skip("VOUCHMARK_COSTS is not set")
	}
	site := filepath.Join(t.TempDir(), "site")
	c := exec.Command("go", "run", "./testdata/speed", "site", labels, site)
	c.Dir = top
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	must(t, "print", "--site", site, "--today", "2026-05-01", "--out", filepath.Join(t.TempDir(), "labels.pdf"))
	address, dir := made(t, "costs", "plant/")
	publish := func(what, today string) {
		t.Helper()
		began := time.Now()
		out := must(t, "publish", address, "--site", site, "--today", today, "--json")
		var s struct {
			Labels, Written int
			Bucket          struct {
				Requests, Altered int
				Bytes             int64 `json:"bytes_sent"`
			}
		}
		if err := json.Unmarshal([]byte(out), &s); err != nil {
			t.Fatal(err)
		}
		manifest := int64(0)
		if all, _ := filepath.Glob(filepath.Join(dir, "gen", "*.done")); len(all) > 0 {
			if info, err := os.Stat(all[0]); err == nil {
				manifest = info.Size()
			}
		}
		t.Logf("%s: %d labels, %d files written, %d requests, %d kB sent (manifest %d kB), %.1f s", what, s.Labels, s.Written, s.Bucket.Requests,
			s.Bucket.Bytes/1000, manifest/1000, time.Since(began).Seconds())
	}
	publish("first time", "2026-05-01")
	publish("nothing changed", "2026-05-01")
	publish("the next day", "2026-05-02")
	if out := must(t, "change", "add", "--site", site, "--today", "2026-05-02", "--at", "REP-LP1", "--kind", "fuse replaced", "--by", "maintenance"); !strings.Contains(out, "REP-LP1") {
		t.Fatal(out)
	}
	publish("a change that puts one label in question", "2026-05-02")
}
