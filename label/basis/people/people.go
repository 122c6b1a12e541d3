// Package people reads and changes people.toml: who may use the server of a site, in which role, and
// how their passwords are checked. It touches no disk.
//
//	people.go    the people of a file, and how names are compared
//	read.go      the file, with all of its problems at once
//	edit.go      changing its text; everything else in it stays
//	password.go  hashes of passwords
package people

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"golang.org/x/text/unicode/norm"

	"vouchmark/assess/infile"
	"vouchmark/assess/near"
	"vouchmark/label/record"
)

// File is the usual name of the file.
const File = "people.toml"

// MostBytes is the most bytes that the file may have.
const MostBytes = infile.MiB

// Limits are those of what is read of people.
func Limits() []infile.Limit {
	return []infile.Limit{{What: "`people.toml`", Most: fmt.Sprintf("%s; of a password hash %s, %d passes, %d lanes, %s of salt or key",
		infile.Size(MostBytes), infile.Size(mostMemory*infile.KiB), mostPasses, mostLanes, infile.Size(mostSalt))}}
}

// Person is somebody who may use the server.
type Person struct {
	Name string
	Role record.Role
	// Password is the hash of the password, in the PHC string format; "" for a person whom only a
	// server in front signs in.
	Password string
}

// Digest identifies all that the file says of a person: it changes with the name, the role and the password.
func (p *Person) Digest() string {
	sum := sha256.New()
	for _, text := range []string{p.Name, string(p.Role), p.Password} {
		fmt.Fprintf(sum, "%d %s", len(text), text)
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// Words are the name and the role, as pages show a person.
func (p *Person) Words() string { return p.Role.With(p.Name) }

// List is the people of a file, in its order. Nil has nobody.
type List struct {
	People []Person
	by     map[string]int // by folded name
	dummy  func() string  // see Right
}

// Fold is a name as it is compared: in composed form (Unicode NFC), with single spaces. Capitals count.
func Fold(name string) string { return strings.Join(strings.Fields(norm.NFC.String(name)), " ") }

// Find is the person with a name; nil for nobody.
func (l *List) Find(name string) *Person {
	if l == nil {
		return nil
	}
	if i, ok := l.by[Fold(name)]; ok {
		return &l.People[i]
	}
	return nil
}

// Unknown is the error for a name that nobody in the file has.
func (l *List) Unknown(file, name string) error {
	hint := ""
	if names := near.IDs(name, l.Names()); names != nil {
		hint = "; the nearest is " + names[0]
	}
	return fmt.Errorf("no person %q is in %s%s", name, file, hint)
}

// Names are the names of all people.
func (l *List) Names() (all []string) {
	for i := range l.People {
		all = append(all, l.People[i].Name)
	}
	return all
}

// Who are the people who may do what a role is needed for, in the order of the file.
func (l *List) Who(needed record.Role) (all []*Person) {
	if l == nil {
		return nil
	}
	for i := range l.People {
		if p := &l.People[i]; p.Role.May(needed) {
			all = append(all, p)
		}
	}
	return all
}
