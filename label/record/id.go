package record

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"fmt"
	"strings"
)

// ID is the SHA-256 of a record's bytes.
type ID [sha256.Size]byte

// String is the ID in hexadecimal, as the file is named.
func (id ID) String() string { return hex.EncodeToString(id[:]) }

// ParseID reads 64 hexadecimal digits in lower case.
func ParseID(s string) (ID, error) {
	var id ID
	b, err := hex.DecodeString(s)
	if err != nil || len(b) != len(id) || s != strings.ToLower(s) {
		return ID{}, fmt.Errorf("%q is not the SHA-256 of a record", s)
	}
	copy(id[:], b)
	return id, nil
}

// codeBytes is how much of the hash a code shows: 80 bits, 16 letters.
const codeBytes = 10

// crockford is Crockford's base32, which has no I, L, O and U.
var crockford = base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding)

// Code is the short name of a record as printed on the label:
// XXXX-XXXX-XXXX-XXXX, the 80 leading bits of its ID in Crockford base32.
type Code string

// Code is the short name of the record.
func (id ID) Code() Code {
	s := crockford.EncodeToString(id[:codeBytes])
	return Code(s[:4] + "-" + s[4:8] + "-" + s[8:12] + "-" + s[12:])
}

var asTyped = strings.NewReplacer("-", "", "O", "0", "I", "1", "L", "1")

// ParseCode reads a code with or without hyphens, in capitals or not. As in
// Crockford's base32, O reads as 0, and I and L read as 1.
func ParseCode(s string) (Code, error) {
	t := asTyped.Replace(strings.ToUpper(strings.TrimSpace(s)))
	b, err := crockford.DecodeString(t)
	if err != nil || len(t) != crockford.EncodedLen(codeBytes) {
		return "", fmt.Errorf("%q is not a code such as 7K3M-9QTD-RC4A-0W2E", s)
	}
	var id ID
	copy(id[:], b)
	return id.Code(), nil
}

// prefix is the start of the file name of the record with this code, if it is valid.
func (c Code) prefix() string {
	b, _ := crockford.DecodeString(strings.ReplaceAll(string(c), "-", ""))
	return hex.EncodeToString(b)
}

// AmbiguousError is the error for a name that is both the id of a location and the code of another
// location's label.
type AmbiguousError struct {
	Name     string
	Code     Code
	Location string // of the label with that code
	Own      Code   // of the label of the location with that id; "" where none was printed
}

func (e *AmbiguousError) Error() string {
	own := "give it another id"
	if e.Own != "" {
		own = "give the code of its own label, /V/" + string(e.Own)
	}
	return fmt.Sprintf("%s is the id of a location, and reads as the code of the label of %s: for that label give /V/%s; "+
		"for the location, %s", e.Name, e.Location, e.Code, own)
}
