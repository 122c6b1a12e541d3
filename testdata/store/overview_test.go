package store_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"vouchmark/label/bucket"
)

// many copies the rows of a locations.csv, with ids of their own, until there are so many.
func many(t *testing.T, file string, rows int) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	own := lines[1:]
	for i := 0; len(lines) <= rows; i++ {
		id, rest, _ := strings.Cut(own[i%len(own)], ",")
		lines = append(lines, fmt.Sprintf("%s-%d,%s", id, i/len(own)+1, rest))
	}
	if err := os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

// A thousand plants of 200 labels in one bucket are read by a request for each and a few for the list; one that was removed, one
// that nobody checked since, and a damaged one are told.
func TestThousandPlants(t *testing.T) {
	site := filepath.Join(t.TempDir(), "site")
	if err := os.CopyFS(site, os.DirFS(filepath.Join(top, "samples", "creamery"))); err != nil {
		t.Fatal(err)
	}
	os.Remove(filepath.Join(site, "ledger.jsonl")) // whoever tried the sample has one
	os.RemoveAll(filepath.Join(site, "records"))
	many(t, filepath.Join(site, "locations.csv"), 200)
	must := func(args ...string) string {
		t.Helper()
		code, out, errs := vouchmark(t, args...)
		if code != 0 {
			t.Fatalf("%v: exit %d\n%s%s", args, code, out, errs)
		}
		return out
	}
	one, pages := made(t, "oneplant", "BASE/")
	must("print", "--site", site, "--today", "2026-05-01", "--out", filepath.Join(t.TempDir(), "labels.pdf"))
	must("publish", one, "--site", site, "--today", "2026-05-01")
	mark, err := os.ReadFile(filepath.Join(pages, "site.json"))
	if err != nil {
		t.Fatal(err)
	}
	var of struct{ Ledger, Site string }
	if err := json.Unmarshal(mark, &of); err != nil {
		t.Fatal(err)
	}
	address, dir := made(t, "plants", "all/")
	b := open(t, address)
	plants := 1000
	if n, err := strconv.Atoi(os.Getenv("VOUCHMARK_PLANTS")); err == nil {
		plants = n
	}
	for i := range plants {
		one := bytes.ReplaceAll(mark, []byte(of.Ledger), fmt.Appendf(nil, "%064x", i))
		one = bytes.ReplaceAll(one, []byte(of.Site), fmt.Appendf(nil, "Plant %d (invented)", i))
		switch i {
		case 17:
			one = bytes.ReplaceAll(one, []byte(`"checked": "2026-05-01"`), []byte(`"checked": "2026-03-01"`))
		case 18:
			one = one[:len(one)/100]
		}
		files := map[string][]byte{"site.json": one}
		if i%10 == 0 {
			files["V/0345/X/index.html"] = []byte("<p>a label</p>")
		}
		for name, data := range files {
			if _, err := b.Put(t.Context(), fmt.Sprintf("p%04d/%s", i, name), data, bucket.How{Type: "text/plain", New: true}); err != nil {
				t.Fatal(err)
			}
		}
	}
	out := filepath.Join(t.TempDir(), "view")
	type view struct {
		Totals struct {
			Plants     int
			Unreadable int `json:"cannot_be_read"`
			Stale      int
			Labels     struct{ Holds, Cover, Ready int }
		}
		Plants []struct{ Place, Site, Problem string }
	}
	see := func(want int) (v view) {
		t.Helper()
		began := time.Now()
		file, err := program()
		if err != nil {
			t.Fatal(err)
		}
		var errs bytes.Buffer
		c := exec.Command(file, "overview", address, "--out", out, "--today", "2026-05-02", "--json")
		c.Stderr = &errs
		data, _ := c.Output()
		if code := c.ProcessState.ExitCode(); code != want || json.Unmarshal(data, &v) != nil {
			t.Fatalf("exit %d: %.500s\n%s", code, data, &errs)
		}
		t.Logf("%d plants: %v, %v of the processor, %d MB", v.Totals.Plants, time.Since(began).Round(time.Millisecond),
			c.ProcessState.UserTime()+c.ProcessState.SystemTime(), maxMemory(c.ProcessState)>>20)
		return v
	}
	v := see(1)
	if v.Totals.Plants != plants || v.Totals.Unreadable != 1 || v.Totals.Stale != 1 {
		t.Errorf("%+v", v.Totals)
	}
	if !strings.HasSuffix(v.Plants[0].Place, "prefix=all/p0018/&use_path_style=true") || !strings.Contains(v.Plants[0].Problem, "cut off") || v.Plants[1].Site != "Plant 17 (invented)" {
		t.Errorf("first %+v", v.Plants[:2])
	}
	if err := os.RemoveAll(filepath.Join(dir, "p0500")); err != nil {
		t.Fatal(err)
	}
	v = see(1)
	if v.Totals.Plants != plants || v.Totals.Unreadable != 2 || !strings.Contains(v.Plants[1].Place, "p0500") || !strings.Contains(v.Plants[1].Problem, "removed") {
		t.Errorf("%+v, %+v", v.Totals, v.Plants[:2])
	}
	// the view itself in the bucket, next to the plants: it is not one of them, and is written again only where it changed
	into := strings.Replace(address, "all/", "all/view/", 1)
	for _, day := range []string{"2026-05-02", "2026-05-03"} {
		code, text, errs := vouchmark(t, "overview", address, "--out", into, "--today", day)
		page, err := os.ReadFile(filepath.Join(dir, "view", "index.html"))
		if code != 1 || err != nil || !bytes.Contains(page, []byte("Read on <time datetime=\""+day)) || !bytes.Contains(page, fmt.Appendf(nil, "<p>%d plants", plants-1)) {
			t.Errorf("exit %d: %v\n%.300s%s", code, err, text, errs)
		}
	}
	if code, _, errs := vouchmark(t, "overview", address, "--out", strings.Replace(address, "all/", "all/p0001/", 1)); code != 2 || !strings.Contains(errs, "holds other files") {
		t.Errorf("a plant is written over: exit %d, %s", code, errs)
	}
	code, found, _ := vouchmark(t, "overview", address, "--today", "2026-05-02", "--find", "tub mc4")
	if code != 0 || strings.Count(found, "Plant ") != plants-2 {
		t.Errorf("exit %d: %.300s", code, found)
	}
}
