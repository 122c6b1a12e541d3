package label

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess/site"
	"vouchmark/testdata/suite"
)

// FuzzWording: an owner's wording is read or reported, and labels are composed with what is read.
func FuzzWording(f *testing.F) {
	english, err := wordingFiles.ReadFile("wording/en.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add("en", "hazard = \"SHOCK\"\nmessage_warning = [\"a {site}\", \"b\"]\n")
	f.Add("de", string(english))
	f.Add("en", "decimal = \",\"\nkeep_out = \"{}\"\nunknown = 1\n")
	f.Add("fr", "hazard = [\"x\"]\nhazard = 1")
	r, _ := compose(f, places[0])
	f.Fuzz(func(t *testing.T, language, text string) {
		if len(text) > suite.Longest || len(language) > 8 || strings.ContainsAny(language, "/.\x00") || language == "" {
			return
		}
		suite.Bounded(t, len(text), 1024, 1<<22, func() {
			c, err := ReadCatalogue(fstest.MapFS{"wording/" + language + ".toml": {Data: []byte(text)}}, site.Options{})
			if err != nil {
				var ps site.Problems
				if !errors.As(err, &ps) || len(ps) == 0 {
					t.Errorf("%v", err)
				}
				return
			}
			if !slices.Contains(c.Languages(), language) {
				t.Fatalf("no %q in %q", language, c.Languages())
			}
			Compose(r, "0000-0000-0000-0000", Presentation{Catalogue: c, Languages: []string{language}, Site: "Invented"})
		})
	})
}

// FuzzLink: what is scanned or typed is a code or an error, and its parts make the same link again.
func FuzzLink(f *testing.F) {
	for _, text := range []string{
		"HTTPS://LABELS.EXAMPLE.ORG/V/7K3M-9Q2R-T4WX-8VBN/MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KIT-B", "7K3M-9Q2R-T4WX-8VBN MCC-4-480V",
		"7k3m9q2rt4wx8vbn", "http://[::1]:8484/v/7K3M-9Q2R-T4WX-8VBN/index.html", "/V/7K3M-9Q2R-T4WX-8VBN/", "HTTPS://A/V//V/", "  7K3M-9Q2R-T4WX-8VBN  ",
	} {
		f.Add(text, "HTTPS://LABELS.EXAMPLE.ORG/SITE")
	}
	f.Fuzz(func(t *testing.T, text, link string) {
		if len(text)+len(link) > suite.Longest {
			return
		}
		suite.Bounded(t, len(text)+len(link), 64, 1<<16, func() {
			s, err := ParseQR(text)
			if err != nil {
				return
			}
			s.Of([]string{link})
			if !s.Of(nil) {
				t.Error("a site without a link can tell")
			}
			if !strings.Contains("/"+s.Facts, "/V/") { // of two, the last counts
				again, err := ParseQR("HTTPS://LABELS.EXAMPLE.ORG/V/" + string(s.Code) + "/" + s.Facts)
				if err != nil || again.Code != s.Code || !again.Path || !again.Of([]string{"https://labels.example.org/"}) || again.Of([]string{"HTTPS://OTHER.EXAMPLE.ORG"}) {
					t.Errorf("%+v, read again %+v, %v", s, again, err)
				}
			}
		})
	})
}
