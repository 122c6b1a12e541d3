package commands

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/basis/people"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// ofPeople is the flag that names the file.
func ofPeople(fs *pflag.FlagSet) *string {
	return fs.String("people", "", "`FILE` the file with the people, outside every site folder (people.toml); needed")
}

// file is the file that the flag names.
func (e *Env) file(path string) (*peopleFile, error) {
	if path == "" {
		return nil, &usageError{text: "--people: name the file with the people, such as ~/vouchmark/people.toml"}
	}
	return &peopleFile{path: path}, nil
}

// passwords are the flags that say where a password comes from.
type passwords struct {
	from string
	none bool
}

func newPasswords(fs *pflag.FlagSet) *passwords {
	p := &passwords{}
	fs.StringVar(&p.from, "password-file", "",
		"`FILE` a file with the password in its first line (default: ask on a terminal, else the first line of standard input)")
	fs.BoolVar(&p.none, "no-password", false, "no password: only a server in front signs this person in")
	return p
}

// hash asks for a password and gives its hash; "" for none.
func (p *passwords) hash(e *Env) (string, error) {
	if p.none {
		if p.from != "" {
			return "", &usageError{text: "--no-password and --password-file exclude each other"}
		}
		return "", nil
	}
	password, err := p.ask(e)
	if err != nil {
		return "", err
	}
	hash, err := people.Hash(password, people.Usual)
	if err != nil {
		return "", &usageError{text: err.Error()}
	}
	return hash, nil
}

// ask is the password: from a file, from a terminal, where it is typed twice and not shown, or from the first
// line of standard input.
func (p *passwords) ask(e *Env) (string, error) {
	switch {
	case p.from != "":
		line, err := firstLine(p.from, "")
		return line, wrongFlag("password-file", err)
	case e.Secret == nil:
		return inLine(e.Stdin)
	}
	var typed [2]string
	for i, prompt := range []string{fmt.Sprintf("Password (at least %d characters): ", people.Shortest), "The same again: "} {
		fmt.Fprint(e.Stderr, prompt)
		text, err := e.Secret()
		fmt.Fprintln(e.Stderr)
		if err != nil {
			return "", err
		}
		typed[i] = text
	}
	if typed[0] != typed[1] {
		return "", errors.New("the two passwords differ; nothing was written")
	}
	return typed[0], nil
}

// inLine is the first line of standard input.
func inLine(in io.Reader) (string, error) {
	if in == nil {
		in = strings.NewReader("")
	}
	lines := bufio.NewScanner(in)
	lines.Scan()
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return "", errors.New("the first line of standard input is too long for a password")
	case err != nil:
		return "", err
	case lines.Text() == "":
		return "", &usageError{text: "no password in the first line of standard input; nothing was written"}
	}
	return strings.TrimSuffix(lines.Text(), "\r"), nil
}

// role is a role as it is typed.
func roleOf(text string) (record.Role, error) {
	role := record.Role(text)
	if !role.Known() {
		return "", fmt.Errorf("found %q, expected one of %s", text, roleWords(", "))
	}
	return role, nil
}

func roleWords(between string) string {
	var words []string
	for _, r := range record.Roles {
		words = append(words, string(r))
	}
	return strings.Join(words, between)
}

// PersonAdd is the command of that name.
func PersonAdd(fs *pflag.FlagSet) func(*Env, []string) error {
	role := fs.String("role", "", "`"+roleWords("|")+"` what the person may do; needed; each may do what those before it may")
	file := ofPeople(fs)
	password := newPasswords(fs)
	return func(e *Env, args []string) error {
		f, err := e.file(*file)
		if err != nil {
			return err
		}
		is, err := roleOf(*role)
		if err != nil {
			return wrongFlag("role", err)
		}
		name, err := record.OneLine(args[0], record.LongestName)
		if err == nil && !assess.Says(name) {
			err = fmt.Errorf("%q is not a name", args[0])
		}
		if err != nil {
			return &usageError{text: err.Error()}
		}
		p := people.Person{Name: people.Fold(name), Role: is}
		old, err := f.old() // what is wrong with it is said before a password is asked for
		if err == nil {
			_, err = people.Add(f.path, old, p)
		}
		if err != nil {
			return err
		}
		if p.Password, err = password.hash(e); err != nil {
			return err
		}
		if err := f.edit(func(old []byte) ([]byte, error) { return people.Add(f.path, old, p) }); err != nil {
			return err
		}
		return e.tellOf(f, &p, "%s was added to %s, as %s%s\n", p.Name, f.path, p.Role, without(&p))
	}
}

// without says that a person has no password.
func without(p *people.Person) string {
	if p.Password == "" {
		return ", without a password: only a server in front signs this person in"
	}
	return ""
}

// tellOf says what was done to a person.
func (e *Env) tellOf(f *peopleFile, p *people.Person, text string, values ...any) error {
	return e.tell(map[string]any{"file": f.path, "person": personShown{p.Name, p.Role, p.Password != ""}}, text, values...)
}

// changing changes the entry of a person.
func changing(file *string, e *Env, name string, change func(path string, old []byte) ([]byte, error)) (*peopleFile, *people.Person, error) {
	f, err := e.file(*file)
	if err != nil {
		return nil, nil, err
	}
	was, err := f.known(name)
	if err != nil {
		return nil, nil, err
	}
	if err := f.edit(func(old []byte) ([]byte, error) { return change(f.path, old) }); err != nil {
		return nil, nil, err
	}
	list, err := f.read()
	if err != nil {
		return nil, nil, err
	}
	if now := list.Find(name); now != nil {
		return f, now, nil
	}
	return f, was, nil
}

// known is a person of the file.
func (f *peopleFile) known(name string) (*people.Person, error) {
	list, err := f.read()
	if err != nil {
		return nil, err
	}
	p := list.Find(name)
	if p == nil {
		return nil, list.Unknown(f.path, name)
	}
	return p, nil
}

// PersonPassword is the command of that name.
func PersonPassword(fs *pflag.FlagSet) func(*Env, []string) error {
	file := ofPeople(fs)
	password := newPasswords(fs)
	return func(e *Env, args []string) error {
		f, err := e.file(*file)
		if err == nil {
			_, err = f.known(args[0])
		}
		if err != nil {
			return err
		}
		hash, err := password.hash(e)
		if err != nil {
			return err
		}
		_, p, err := changing(file, e, args[0], func(path string, old []byte) ([]byte, error) { return people.SetPassword(path, old, args[0], hash) })
		if err != nil {
			return err
		}
		if p.Password == "" {
			return e.tellOf(f, p, "%s has no password now: only a server in front signs this person in\n", p.Name)
		}
		return e.tellOf(f, p, "%s has a new password; whoever was signed in under this name must sign in again\n", p.Name)
	}
}

// PersonRole is the command of that name.
func PersonRole(fs *pflag.FlagSet) func(*Env, []string) error {
	file := ofPeople(fs)
	return func(e *Env, args []string) error {
		role, err := roleOf(args[1])
		if err != nil {
			return &usageError{text: err.Error()}
		}
		f, p, err := changing(file, e, args[0], func(path string, old []byte) ([]byte, error) { return people.SetRole(path, old, args[0], role) })
		if err != nil {
			return err
		}
		return e.tellOf(f, p, "%s is %s now; what was noted before keeps the role of its day\n", p.Name, p.Role)
	}
}

// PersonRemove is the command of that name.
func PersonRemove(fs *pflag.FlagSet) func(*Env, []string) error {
	file := ofPeople(fs)
	return func(e *Env, args []string) error {
		f, p, err := changing(file, e, args[0], func(path string, old []byte) ([]byte, error) { return people.Remove(path, old, args[0]) })
		if err != nil {
			return err
		}
		return e.tellOf(f, p, "%s was removed from %s, and can no longer sign in; what was noted under this name stays\n", p.Name, f.path)
	}
}

// personShown is a person as a list shows one.
type personShown struct {
	Name     string      `json:"name"`
	Role     record.Role `json:"role"`
	Password bool        `json:"password"` // there is one
}

// PersonList is the command of that name.
func PersonList(fs *pflag.FlagSet) func(*Env, []string) error {
	file := ofPeople(fs)
	return func(e *Env, _ []string) error {
		f, err := e.file(*file)
		if err != nil {
			return err
		}
		list, err := f.read()
		if err != nil {
			return err
		}
		all := []personShown{}
		for i := range list.People {
			p := &list.People[i]
			all = append(all, personShown{p.Name, p.Role, p.Password != ""})
		}
		return e.show(map[string]any{"file": f.path, "people": all}, func(w io.Writer, width int) error {
			rows := [][]string{{"NAME", "ROLE", "SIGN-IN"}}
			for _, p := range all {
				by := "password"
				if !p.Password {
					by = "only by a server in front"
				}
				rows = append(rows, []string{p.Name, string(p.Role), by})
			}
			return report.Columns(w, width, rows)
		})
	}
}
