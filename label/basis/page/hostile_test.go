package page

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

const (
	hostileID   = `<script>alert(1)</script>`
	hostileText = `"><img src=x onerror=alert(2)>'&amp;</title></textarea>--> ../../x`
)

// hostile is the pages of an invented site whose every text wants to be markup.
func hostile(t *testing.T, live *Live) *Book {
	t.Helper()
	dir := t.TempDir()
	quoted := `"` + strings.ReplaceAll(hostileText, `"`, `""`) + `"`
	files := map[string]string{
		"site.toml": "name = '''" + hostileText + "'''\nedition = \"NFPA 70E-2024\"\nunits = \"both\"\ncutoff_cal_cm2 = 40\nreview_months = 60\nask = '''" + hostileText + "'''\n" +
			"[[ladder]]\nkit = \"<b onclick=x>&\\\"'\"\nrating_cal_cm2 = 40\nwear = ['''" + hostileText + "''']\n",
		"locations.csv": "id,case,area,equipment,fed_from,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,electrodes,gap_mm,height_mm,width_mm,depth_mm,clear_ms,clear_reduced_ms,device,study,revision,prepared,engineer,accepted_by,note\n" +
			hostileID + "," + quoted + "," + quoted + "," + quoted + ",,ac3,480,22,6.5,46,18,VCBB,25,356,305,203,50,50," + quoted + "," + quoted + "," + quoted + ",2026-03-14," + quoted + "," + quoted + "," + quoted + "\n",
		"changes.toml": "[[change]]\ndate = 2026-05-02\nat = \"" + hostileID + "\"\nkind = \"fuse replaced\"\nby = '''" + hostileText + "'''\nnote = '''" + hostileText + "'''\n",
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s, err := site.Read(os.DirFS(dir), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	today, _ := assess.ParseDate("2026-05-03")
	store := record.Open(dir)
	judge := func() *plant.Plant {
		h, err := store.History(today)
		if err != nil {
			t.Fatal(err)
		}
		v, err := plant.New(s, h, today, nil)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	a := judge().Places[0].Assessment
	if !a.Prints() {
		t.Fatal(a.Findings)
	}
	if err := store.Carry(record.Job{Kind: record.Print, Date: today, By: hostileText, Reason: hostileText, Sheet: []record.Sheet{{Record: record.New(a)}}}); err != nil {
		t.Fatal(err)
	}
	return &Book{Shelf: basis.NewShelf(judge(), store), Live: live, Picture: noPicture{}}
}

// noPicture says in the words of the site why there is none.
type noPicture struct{}

func (noPicture) Draw(*record.Record, record.Code) ([]byte, error) {
	return nil, errors.New(hostileText)
}

// Whatever a name holds, no page gets an element, an attribute or a script of
// it, and a person reads it as it was written.
func TestHostile(t *testing.T) {
	for _, live := range []*Live{nil, {Writes: true}} {
		b := hostile(t, live)
		files := all(t, b)
		if live != nil {
			found, err := b.Start(Asked{Text: hostileText, Area: hostileText})
			if err != nil {
				t.Fatal(err)
			}
			files["found.html"] = string(found)
		}
		read := 0
		for name, data := range files {
			switch {
			case name == "labels.js":
				if strings.ContainsAny(data, "<>") {
					t.Errorf("%s has a sign of markup", name)
				}
				var rows [][]string
				if err := json.Unmarshal([]byte(strings.TrimSuffix(strings.TrimPrefix(data, "const labels = "), ";\n")), &rows); err != nil || rows[0][0] != hostileID || rows[0][2] != hostileText {
					t.Errorf("%s: %v, %v", name, rows, err)
				}
			case strings.HasSuffix(name, ".json"):
				if !json.Valid([]byte(data)) {
					t.Errorf("%s is not JSON", name)
				}
			case strings.HasSuffix(name, ".html"):
				text := inert(t, name, data)
				if strings.Contains(text, hostileID) && strings.Contains(text, hostileText) {
					read++
				}
			}
		}
		if read < 4 {
			t.Errorf("only %d pages show the names as they are", read)
		}
	}
}

// inert gives the text of a page, and fails where a name became markup.
func inert(t *testing.T, name, data string) string {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(data))
	d.Strict = false
	d.AutoClose = xml.HTMLAutoClose
	d.Entity = xml.HTMLEntity
	var text strings.Builder
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		switch e := token.(type) {
		case xml.CharData:
			text.Write(e)
		case xml.StartElement:
			switch e.Name.Local {
			case "img", "b", "textarea":
				t.Errorf("%s has an element %s", name, e.Name.Local)
			case "script":
				if len(e.Attr) == 0 {
					t.Errorf("%s has a script within", name)
				}
			}
			for _, a := range e.Attr {
				if strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Value, "alert(1)") && a.Name.Local == "href" {
					t.Errorf("%s: %s has an attribute %s=%q", name, e.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
	}
}
