package people

import (
	"errors"
	"strings"
	"testing"

	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// weak is enough for a test.
var weak = Strength{Memory: 64, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32}

func hashed(t *testing.T, password string) string {
	t.Helper()
	hash, err := Hash(password, weak)
	if err != nil {
		t.Fatal(err)
	}
	return hash
}

func TestParse(t *testing.T) {
	e, jose := "E. Sample, PE", "José"
	text := "# people\n[[person]]\nname = \"E.  Sample, PE \"\nrole = \"engineer\"\npassword = '" + hashed(t, "correct horse battery") + "'\n\n" +
		"[[person]]\nname = \"Jose\u0301\"\nrole = \"planner\"\n"
	l, err := Parse(File, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p := l.Find(e)
	if p == nil || p.Role != record.RoleEngineer || !l.Right(p, "correct horse battery") || l.Right(p, "correct horse batterz") {
		t.Errorf("%+v is not the engineer with that password", p)
	}
	if q := l.Find(jose); q == nil || q.Name != jose || l.Right(q, "") || l.Right(q, "nobody has this password") {
		t.Errorf("%+v: a composed name does not find him, or he needs no password", q)
	}
	if l.Find("e. sample, pe") != nil {
		t.Error("capitals do not count")
	}
	if l.Right(nil, "nobody has this password") {
		t.Error("nobody signed in with the dummy's password")
	}
	if !strings.HasPrefix(l.dummy(), "$argon2id$v=19$m=64,t=1,p=1$") {
		t.Errorf("for a name that nobody has it takes as long as %.40s", l.dummy())
	}
	if len(l.Who(record.RoleEngineer)) != 1 || len(l.Who(record.RolePlanner)) != 2 {
		t.Error("who may do what is wrong")
	}
}

func TestParseProblems(t *testing.T) {
	salt := "$c2FsdHNhbHRzYWx0$a2V5a2V5a2V5a2V5a2V5a2V5"
	for _, c := range []struct{ text, want string }{
		{"[[person]]\nname = \"A B\"\nrole = \"boss\"\n", `people.toml:3: person[1].role: found "boss", expected one of read, planner, engineer, owner`},
		{"[[person]]\nrole = \"read\"\n", "people.toml:1: person[1].name: found no such key"},
		{"[[person]]\nname = \"-\"\nrole = \"read\"\n", `person[1].name: found "-", expected a name`},
		{"[[person]]\nname = \"A B\"\nrole = \"read\"\n[[person]]\nname = \" A  B\"\nrole = \"owner\"\n", `people.toml:5: person[2].name: found "A B" a second time`},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npasword = \"x\"\n", "people.toml:4: person[1].pasword: found an unknown key, expected a known one; the nearest is password"},
		{"[[people]]\nname = \"A\"\n", "people.toml:1: people: found an unknown key, expected a known one; the nearest is person"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"secret\"\n", "person[1].password: found a text that is not a hash by Argon2id"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"$argon2id$v=19$m=65537,t=2,p=1" + salt + "\"\n", "found a hash with m=65537"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"$argon2id$v=19$m=19456,t=11,p=1" + salt + "\"\n", "found a hash with m=19456, t=11"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"$argon2id$v=19$m=19456,t=2,p=5" + salt + "\"\n", "p=5"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"$argon2id$v=19$m=19456,t=0,p=1" + salt + "\"\n", "which protects nothing"},
		{"[[person]]\nname = \"A\"\nrole = \"read\"\npassword = \"$argon2id$v=19$m=19456,t=2,p=0" + salt + "\"\n", "which protects nothing"},
		{strings.Repeat("#", int(MostBytes)+1), "a file of more than 1 MiB"},
		{"a = " + strings.Repeat("[", 40), "more than 16 tables and lists within each other"},
	} {
		_, err := Parse(File, []byte(c.text))
		var bad site.Problems
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.80q:\n%v\nwant %s", c.text, err, c.want)
		}
		if err != nil && strings.Contains(err.Error(), "a2V5a2V5") {
			t.Errorf("a problem shows the hash: %v", err)
		}
	}
}

func TestPeopleLimits(t *testing.T) {
	salt, key := strings.Repeat("A", 86), strings.Repeat("A", 86) // 64 bytes
	for hash, good := range map[string]bool{
		"$argon2id$v=19$m=65536,t=10,p=4$" + salt + "$" + key:                     true,
		"$argon2id$v=19$m=65537,t=10,p=4$" + salt + "$" + key:                     false,
		"$argon2id$v=19$m=65536,t=11,p=4$" + salt + "$" + key:                     false,
		"$argon2id$v=19$m=65536,t=10,p=5$" + salt + "$" + key:                     false,
		"$argon2id$v=19$m=65536,t=10,p=4$" + strings.Repeat("A", 87) + "$" + key:  false,
		"$argon2id$v=19$m=65536,t=10,p=4$" + salt + "$" + strings.Repeat("A", 87): false,
		"$argon2id$v=19$m=4294967295,t=1,p=1$" + salt + "$" + key:                 false,
		"$argon2id$v=19$m=19456,t=2,p=1$" + salt[:10] + "$" + key:                 false,
		"$argon2id$v=19$m=19456,t=2,p=1$" + salt + "$" + key[:20]:                 false,
	} {
		if err := checkHash(hash); (err == nil) != good {
			t.Errorf("%.60s: %v", hash, err)
		}
	}
	for n, good := range map[int]bool{int(MostBytes): true, int(MostBytes) + 1: false} {
		if _, err := Parse(File, []byte(strings.Repeat("#", n))); (err == nil) != good {
			t.Errorf("%d bytes: %v", n, err)
		}
	}
}

func TestHash(t *testing.T) {
	for password, want := range map[string]string{"eleven char": "expected at least 12", strings.Repeat("x", longest+1): "more than",
		"\xff" + strings.Repeat("x", 20): "UTF-8"} {
		if _, err := Hash(password, weak); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %v", password, err)
		}
	}
	one, err := Parse(File, []byte("[[person]]\nname = \"A B\"\nrole = \"read\"\npassword = '"+hashed(t, "Jose\u0301 is my password")+"'\n"))
	if err != nil || !one.Right(&one.People[0], "Jos\u00e9 is my password") {
		t.Error("another form of the same characters is refused", err)
	}
	usual, err := Hash("correct horse battery", Usual)
	if err != nil || !strings.HasPrefix(usual, "$argon2id$v=19$m=19456,t=2,p=1$") || checkHash(usual) != nil {
		t.Errorf("%s, %v", usual, err)
	}
}

func TestEdit(t *testing.T) {
	hash := hashed(t, "correct horse battery")
	must := func(text []byte, err error) []byte {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	text := must(Add(File, nil, Person{Name: `Q "Quote" Example`, Role: record.RoleOwner, Password: hash}))
	text = append(text, "# the night shift\n"...)
	text = must(Add(File, text, Person{Name: "M. Sample", Role: record.RolePlanner}))
	text = append([]byte("# ours\n"), append(text, "# to the end\n"...)...)
	if _, err := Add(File, text, Person{Name: "M.  Sample", Role: record.RoleRead}); err == nil {
		t.Error("a second M. Sample was added")
	}
	text = []byte(strings.Replace(string(text), "role = \"planner\"", "role = 'planner' # until May", 1))
	text = must(SetRole(File, text, "M. Sample", record.RoleEngineer))
	text = must(SetPassword(File, text, "M. Sample", hash))
	for _, want := range []string{"# ours\n", "# the night shift\n", "role = \"engineer\" # until May\n", "# to the end\n"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	l, err := Parse(File, text)
	if err != nil || !l.Right(l.Find("M. Sample"), "correct horse battery") {
		t.Errorf("%v\n%s", err, text)
	}
	gone := must(SetPassword(File, text, "M. Sample", ""))
	gone = must(Remove(File, gone, `Q "Quote" Example`))
	if want := "# ours\n" + header + "\n# the night shift\n\n[[person]]\nname = \"M. Sample\"\nrole = \"engineer\" # until May\n# to the end\n"; string(gone) != want {
		t.Errorf("%q\nwant\n%q", gone, want)
	}
	if _, err := Remove(File, gone, "Nobody"); err == nil {
		t.Error("nobody was removed")
	}
	multi := []byte("[[person]]\nname = \"A B\"\nrole = \"\"\"\nread\"\"\"\n")
	if got, err := SetRole(File, multi, "A B", record.RoleOwner); err == nil {
		t.Errorf("an entry in another form was changed to %q", got)
	}
	inline := []byte("person = [{name = \"A B\", role = \"read\"}]\n")
	if got, err := Remove(File, inline, "A B"); err == nil {
		t.Errorf("an entry in another form was removed: %q", got)
	}
}
