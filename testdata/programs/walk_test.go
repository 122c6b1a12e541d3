package programs

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A walk that a person ticked can be read as saved by a spreadsheet program: as a
// workbook, with semicolons in Windows-1252, with tabs in UTF-16.
func TestSpreadsheetSavesAWalk(t *testing.T) {
	need(t, "soffice")
	s := build(t)
	work := t.TempDir()
	site := filepath.Join(work, "creamery")
	if err := os.CopyFS(site, os.DirFS(filepath.Join(root, "samples", "creamery"))); err != nil {
		t.Fatal(err)
	}
	run(t, s.program, "print", "--site", site, "--today", "2026-05-01", "--out", filepath.Join(work, "labels.pdf"))
	list := filepath.Join(work, "walk.csv")
	run(t, s.program, "walk", "--csv", "--site", site, "--today", "2026-05-01", "--out", list)
	data, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer("\n,put on,RAW-MC1,", "\nx,put on,RAW-MC1,", "\n,put on,STM-DS5,", "\n2026-05-02,put on,STM-DS5,",
		"\n,put on,GAL-SB1,", "\n1,put on,GAL-SB1,").Replace(string(data))
	if err := os.WriteFile(list, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	for as, filter := range map[string]string{
		"xlsx": "xlsx", "semicolons": "csv:Text - txt - csv (StarCalc):59,34,1", "tabs": "csv:Text - txt - csv (StarCalc):9,34,65535",
	} {
		to := filepath.Join(work, as)
		run(t, "soffice", "-env:UserInstallation=file://"+filepath.Join(work, "profile"), "--headless", "--infilter=CSV:44,34,UTF8",
			"--convert-to", filter, "--outdir", to, list)
		files, err := filepath.Glob(filepath.Join(to, "walk.*"))
		if err != nil || len(files) != 1 {
			t.Fatalf("%s: %q, %v", as, files, err)
		}
		plant := filepath.Join(work, "of "+as)
		if err := os.CopyFS(plant, os.DirFS(site)); err != nil {
			t.Fatal(err)
		}
		out := string(run(t, s.program, "mounted", "--from", files[0], "--site", plant, "--today", "2026-05-03"))
		want := "noted: 1 label mounted on 2026-05-02: STM-DS5\nnoted: 2 labels mounted on 2026-05-03: GAL-SB1, RAW-MC1\n27 rows not ticked\n"
		if out != want {
			t.Errorf("%s: %s", as, out)
		}
	}
}
