package programs

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"
)

// longestLink is the longest link that a policy may have.
const longestLink = "HTTPS://LABELS.EXAMPLE.ORG/SITE-001"

// longest is an invented site with the longest possible links and facts: 35 and 64
// characters. want are the texts of its codes, by id.
func longest(t *testing.T) (s site, want map[string]string) {
	t.Helper()
	s = build(t)
	policy := fmt.Sprintf("name = \"Longest (invented)\"\nlink = %q\nunits = \"us\"\nedition = \"NFPA 70E-2024\"\ncutoff_cal_cm2 = 40.0\nreview_months = 60\nbelow_threshold_wear = [\"long sleeves\"]\n", longestLink)
	for i, kit := range []string{"Kit A", "Kit B", "Kit D"} {
		policy += fmt.Sprintf("[[ladder]]\nkit = %q\nrating_cal_cm2 = %d.0\nwear = [\"arc-rated suit\"]\n", kit, []int{4, 8, 40}[i])
	}
	const labels = 12
	ids := make([]string, labels)
	write := func() {
		rows := "id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\n"
		for i, id := range ids {
			energy := 0.7 * math.Pow(1.5, float64(i)) // from below 1.2 to DANGER
			rows += fmt.Sprintf("%s,Panel,ac3,480,%.3f,%.2f,18,2026-03-14\n", id, energy, 18*math.Sqrt(energy/1.2))
		}
		for file, text := range map[string]string{"site.toml": policy, "locations.csv": rows} {
			if err := os.WriteFile(filepath.Join(s.dir, file), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for i := range ids {
		ids[i] = fmt.Sprintf("P-%02d", i)
	}
	write()
	facts := func(id string) (code, facts string) {
		var b struct{ Code, Facts string }
		out := run(t, s.program, "basis", id, "--site", s.dir, "--today", "2026-05-01", "--json")
		if err := json.Unmarshal(out, &b); err != nil {
			t.Fatal(err)
		}
		return b.Code, b.Facts
	}
	for i := range ids { // an id is padded to the facts' length
		_, f := facts(ids[i])
		const letters = "ABCDEFGHJKLMNPQRSTUVWXYZ0123456789"
		for n := range 64 - len(f) {
			ids[i] += string(letters[(7*i+5*n)%len(letters)])
		}
	}
	write()
	want = map[string]string{}
	for _, id := range ids {
		code, f := facts(id)
		text := longestLink + "/V/" + code + "/" + f
		if len(text) != 122 {
			t.Fatalf("%s: %d characters, want 122", text, len(text))
		}
		want[id] = text
	}
	return s, want
}

// The longest links can be read exactly from a scan at 200 dpi on every stock; on the
// stocks of [TestBlurredAndTurned] also as a camera sees them.
func TestLongestLink(t *testing.T) {
	need(t, "pdftoppm", "zbarimg", "convert")
	s, texts := longest(t)
	var want []string
	for _, text := range texts {
		want = append(want, text)
	}
	sort.Strings(want)
	for _, stock := range []string{"4x4", "4x6", "6x4", "5x3.5", "3x5", "4x2", "100x100", "100x150", "150x100", "70x100", "letter-4x4", "letter-4x3", "letter-4x2", "a4-100x100"} {
		t.Run(stock, func(t *testing.T) {
			t.Parallel()
			s.copied(t).longest(t, stock, want)
		})
	}
}

// longest prints all labels on a stock, and reads their codes from pictures of it.
func (s site) longest(t *testing.T, stock string, want []string) {
	read := func(image string) []string { // finding no code is not a failure of the reader
		out, err := exec.Command("zbarimg", "-q", "--raw", image).Output()
		if exit := (*exec.ExitError)(nil); err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 4) {
			t.Fatal(err)
		}
		return strings.Fields(string(out))
	}
	dir := t.TempDir()
	pdf := filepath.Join(dir, "labels.pdf")
	var m made
	s.call(t, &m, "print", "--stock", stock, "--out", pdf)
	if len(m.Labels) != len(want) {
		t.Fatalf("%s: %d labels of %d", stock, len(m.Labels), len(want))
	}
	raster := func(dpi string) []string {
		run(t, "pdftoppm", "-r", dpi, "-gray", pdf, filepath.Join(dir, "at"+dpi))
		images, _ := filepath.Glob(filepath.Join(dir, "at"+dpi+"*.pgm"))
		return images
	}
	reads := func(how string, images []string) {
		var got []string
		for _, image := range images {
			got = append(got, read(image)...)
		}
		if sort.Strings(got); !slices.Equal(got, want) {
			t.Errorf("%s %s: %d codes of %d read\n%s", stock, how, len(got), len(want), strings.Join(got, "\n"))
		}
	}
	reads("at 200 dpi", raster("200"))
	if stock == "4x4" || stock == "letter-4x4" || stock == "letter-4x3" {
		images := raster("300")
		for _, image := range images {
			run(t, "convert", image, "-blur", "0x1.2", "-background", "white", "-rotate", "15", image)
		}
		reads("blurred and turned at 300 dpi", images)
	}
}
