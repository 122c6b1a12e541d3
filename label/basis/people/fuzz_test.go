package people

import (
	"errors"
	"slices"
	"testing"

	"vouchmark/assess/site"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// Any text is read or refused with problems, and what a command then changes in it is what it says: nobody else's
// entry changes.
func FuzzPeople(f *testing.F) {
	const two = "# ours\n[[person]]\nname = \"E. Sample, PE\"\nrole = \"engineer\" # until May\n\n[[person]]\nname = 'M. Sample'\nrole = \"planner\"\n"
	for _, text := range []string{"", two, "[[person]]\r\nname = \"A\"\r\nrole = \"read\"\r\n", "person = [{name = \"A\", role = \"read\"}]\n",
		"[[person]]\nrole = \"\"\"\nread\"\"\"\nname = \"A\"\n", "[[person]]\nname = \"A\"\nname = \"B\"\n", "[person]\nname = \"A\"\n", two + "#"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > suite.Longest {
			return
		}
		var l *List
		var err error
		suite.Bounded(t, len(text), 2048, 4<<20, func() { l, err = Parse(File, []byte(text)) })
		if err != nil {
			var ps site.Problems
			if !errors.As(err, &ps) || len(ps) == 0 {
				t.Errorf("%v", err)
			}
			return
		}
		for i := range min(3, len(l.People)) {
			others := func(all []Person) []Person {
				return slices.DeleteFunc(slices.Clone(all), func(p Person) bool { return p.Name == l.People[i].Name })
			}
			for _, change := range []func() ([]byte, error){
				func() ([]byte, error) { return Remove(File, []byte(text), l.People[i].Name) },
				func() ([]byte, error) { return SetRole(File, []byte(text), l.People[i].Name, record.RoleOwner) },
				func() ([]byte, error) { return SetPassword(File, []byte(text), l.People[i].Name, "") },
				func() ([]byte, error) { return SetPassword(File, []byte(text), l.People[i].Name, testHash) },
			} {
				made, err := change()
				if err != nil {
					continue
				}
				if now, err := Parse(File, made); err != nil || !slices.Equal(others(now.People), others(l.People)) {
					t.Errorf("%q became %q: %v", text, made, err)
				}
			}
		}
		if _, err := Add(File, []byte(text), Person{Name: "N. Other", Role: record.RoleRead}); err == nil && l.Find("N. Other") != nil {
			t.Error("added twice")
		}
	})
}

// testHash is a hash with as little work as the file may have.
const testHash = "$argon2id$v=19$m=64,t=1,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
