package people

import (
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/text/unicode/norm"

	"vouchmark/assess/infile"
)

// The limits of a password, and of the parameters of a hash in the file: whoever writes it must not be
// able to make a sign-in take all memory, or forever.
const (
	Shortest   = 12 // characters in a password, at least
	longest    = 1024
	mostMemory = 64 * infile.KiB // KiB
	mostPasses = 10
	mostLanes  = 4
	mostSalt   = 64 // bytes of salt, and of key
	leastSalt  = 8
	leastKey   = 16
)

// Strength is how much work a hash takes. Memory is in KiB.
type Strength = argon2id.Params

// Usual is the strength of new hashes: the least that OWASP's password storage cheat sheet recommends
// for Argon2id (19 MiB, 2 passes, 1 lane). It takes about 20 ms.
var Usual = Strength{Memory: 19 * infile.KiB, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// Hash is the hash of a new password. Its error says what is wrong with the password.
func Hash(password string, s Strength) (string, error) {
	switch n := utf8.RuneCountInString(password); {
	case !utf8.ValidString(password):
		return "", errors.New("the password is not valid UTF-8")
	case n < Shortest:
		return "", fmt.Errorf("the password has %d characters, expected at least %d", n, Shortest)
	case len(password) > longest:
		return "", fmt.Errorf("the password has more than %d bytes", longest)
	}
	return argon2id.CreateHash(norm.NFC.String(password), &s)
}

// checkHash says what is wrong with a hash of the file.
func checkHash(hash string) error {
	p, salt, key, err := argon2id.DecodeHash(hash)
	switch {
	case err != nil:
		return errors.New("a text that is not a hash by Argon2id")
	case p.Memory > mostMemory || p.Iterations > mostPasses || p.Parallelism > mostLanes || len(salt) > mostSalt || len(key) > mostSalt:
		return fmt.Errorf("a hash with m=%d, t=%d, p=%d, %d bytes of salt and %d of key", p.Memory, p.Iterations, p.Parallelism, len(salt), len(key))
	case p.Memory < 8*uint32(p.Parallelism) || p.Iterations < 1 || p.Parallelism < 1 || len(salt) < leastSalt || len(key) < leastKey:
		return fmt.Errorf("a hash with m=%d, t=%d, p=%d, %d bytes of salt and %d of key, which protects nothing", p.Memory, p.Iterations,
			p.Parallelism, len(salt), len(key))
	}
	return nil
}

// expectedHash is what a hash in the file should be.
var expectedHash = fmt.Sprintf("one that vouchmark person wrote: $argon2id$v=19$… with m at most %d (KiB), t at most %d, p at most %d",
	mostMemory, mostPasses, mostLanes)

// dummy makes a hash that no password has, as strong as the strongest of the people.
func dummy(all []Person) string {
	s, most := Usual, uint64(0)
	for i := range all {
		if p, _, _, err := argon2id.DecodeHash(all[i].Password); err == nil {
			if work := uint64(p.Memory) * uint64(p.Iterations); work > most {
				s, most = *p, work
			}
		}
	}
	hash, err := argon2id.CreateHash("nobody has this password", &s)
	if err != nil {
		panic(err) // the system has no random numbers
	}
	return hash
}

// Right reports whether a password is that of a person of the list. For nobody (nil), and for a person without a
// password, it takes as long as for others, so that the time tells no name.
func (l *List) Right(p *Person, password string) bool {
	hash := l.dummy()
	if p != nil && p.Password != "" {
		hash = p.Password
	} else {
		p = nil
	}
	if len(password) > longest {
		return false
	}
	ok, err := argon2id.ComparePasswordAndHash(norm.NFC.String(password), hash) // as keyboards differ
	return ok && err == nil && p != nil
}
