package programs

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// due is the list of the mill with cells that a spreadsheet program would calculate.
func due(t *testing.T, as string) string {
	t.Helper()
	s := build(t)
	dir := filepath.Join(t.TempDir(), "mill")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(root, "samples", "mill"))); err != nil {
		t.Fatal(err)
	}
	rows := filepath.Join(dir, "locations.csv")
	data, err := os.ReadFile(rows)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer(",Chip yard,Power panel P3,", `,=1+1,"=HYPERLINK(""http://x.example"",""pay"")",`, ",Reel end,Power panel P5,", ",+2+3,@SUM(1),", ",Reel end,Power panel P4,", ",-2+3,Power panel P4,").Replace(string(data))
	if err := os.WriteFile(rows, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "due."+as)
	if err := os.WriteFile(out, run(t, s.program, "due", "--site", dir, "--today", "2026-05-01", "--"+as), 0o644); err != nil {
		t.Fatal(err)
	}
	return out
}

// A calendar library of another language reads every entry (RFC 5545).
func TestCalendarIsRead(t *testing.T) {
	need(t, "/usr/bin/python3")
	out := run(t, "/usr/bin/python3", "-c", `
import icalendar, json, sys
c = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())
print(json.dumps([[str(e.decoded('dtstart')), str(e.decoded('dtend')), str(e['summary']), len(e.errors)] for e in c.walk('VEVENT')]))`, due(t, "ics"))
	var events [][4]any
	if err := json.Unmarshal(out, &events); err != nil {
		t.Fatal(err)
	}
	found := false
	for _, e := range events {
		found = found || e[0] == "2026-08-15" && e[1] == "2026-08-16" && e[2] == "1 arc-flash label: review the study by 2026-08-15"
		if e[3] != 0.0 {
			t.Errorf("%v", e)
		}
	}
	if !found || len(events) < 8 {
		t.Errorf("%v", events)
	}
}

// A spreadsheet program does not calculate any cell of the list.
func TestSpreadsheetIsHarmless(t *testing.T) {
	need(t, "soffice")
	file, dir := due(t, "csv"), t.TempDir()
	run(t, "soffice", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--infilter=CSV:44,34,UTF8", "--convert-to", "fods", "--outdir", dir, file)
	data, err := os.ReadFile(filepath.Join(dir, "due.fods"))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(data), "table:formula") {
		t.Error("the spreadsheet has a formula")
	}
	for _, text := range []string{"&apos;=HYPERLINK(", "&apos;+2+3", "&apos;-2+3", "&apos;@SUM(1)"} {
		if !strings.Contains(string(data), ">"+text) {
			t.Errorf("no cell with the text %s", text)
		}
	}
}
