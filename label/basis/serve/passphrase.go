package serve

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"unicode/utf8"
)

const shortest = 12 // characters in a passphrase, at least

// Passphrase is what a person must know to write. Only its hash is stored.
type Passphrase struct {
	hash [sha256.Size]byte
	*tries
}

// NewPassphrase is a passphrase of at least 12 characters.
func NewPassphrase(text string) (*Passphrase, error) {
	if n := utf8.RuneCountInString(text); n < shortest {
		return nil, fmt.Errorf("the passphrase has %d characters, expected at least %d", n, shortest)
	}
	return &Passphrase{hash: sha256.Sum256([]byte(text)), tries: newTries()}, nil
}

var errWrong = errors.New("this is not the passphrase")

// Check compares a try with the passphrase, when it is its turn; see [tries.try].
func (p *Passphrase) Check(ctx context.Context, who Who, try string) error {
	return p.try(ctx, who, func() error {
		hash := sha256.Sum256([]byte(try))
		if subtle.ConstantTimeCompare(hash[:], p.hash[:]) == 1 {
			return nil
		}
		return errWrong
	})
}
