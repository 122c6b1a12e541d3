package mirror

import (
	"fmt"
	"strconv"

	"github.com/BurntSushi/toml"

	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/bucket"
	"vouchmark/label/record"
)

// MostBytes is the most bytes that mirror.toml may have.
const MostBytes = 64 * infile.KiB

// MostLockDays is the longest lock, in days.
const MostLockDays = 36500

// Limits are those of what is read of a mirror.
func Limits() []infile.Limit {
	return []infile.Limit{{What: "`mirror.toml`", Most: infile.Size(MostBytes)}}
}

// Setting is what mirror.toml says.
type Setting struct {
	Address  *bucket.Address
	LockDays int // for which the store lets nobody change or remove what is sent; 0 for no lock
}

// Text is a mirror.toml.
func (s *Setting) Text() []byte {
	text := "# Where each line of the ledger and each record is also sent (vouchmark records mirror). It belongs to this\n" +
		"# copy of the folder alone: a second copy that writes must not have it. It holds no name and no password.\n" +
		"[[mirror]]\n" + pair("address", s.Address.String())
	if s.LockDays > 0 {
		text += pair("lock_days", strconv.Itoa(s.LockDays))
	}
	return []byte(text)
}

// pair is a line of the file, quoted by the TOML library.
func pair(key, value string) string {
	b, err := toml.Marshal(map[string]string{key: value})
	if err != nil {
		panic(err) // only a text comes here
	}
	return string(b)
}

// Parse reads a mirror.toml. Its error is a site.Problems.
func Parse(data []byte) (*Setting, error) {
	s := &Setting{}
	want := site.TextTables{Name: "mirror", Must: []string{"address"}, May: []string{"lock_days"}}
	want.Check = func(t *site.TextTable) {
		if text := t.Values["address"]; text != "" {
			var err error
			if s.Address, err = bucket.Parse(text); err != nil {
				t.Fault("address", "an address that cannot be used", "that of a bucket", err.Error())
			}
		}
		if text := t.Values["lock_days"]; text != "" {
			var err error
			if s.LockDays, err = strconv.Atoi(text); err != nil || s.LockDays < 1 || s.LockDays > MostLockDays {
				t.Fault("lock_days", strconv.Quote(text), fmt.Sprintf(`a whole number of days in quotes, from "1" to "%d"`, MostLockDays), "")
			}
		}
	}
	tables, err := site.ReadTables(record.MirrorFile, data, MostBytes, want)
	if err == nil && len(tables) != 1 {
		err = site.Problems{{File: record.MirrorFile, Found: fmt.Sprintf("%d tables [[mirror]]", len(tables)), Expected: "one",
			Do: "delete the file, and begin again with vouchmark records mirror URL"}}
	}
	if err != nil {
		return nil, err
	}
	return s, nil
}
