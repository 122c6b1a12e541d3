package serve

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"time"
)

// ticketLife is how long a form that was shown can be sent.
const ticketLife = time.Hour

// tickets signs the hidden field of each form that is shown, with a key that only this process has. So
// an opened form takes no memory, and nobody can open so many that those of others are lost.
type tickets struct{ key []byte }

// number tells the tickets of one process apart.
type number [16]byte

// ticketSize is a ticket's time, number and signature, in bytes.
const ticketSize = 8 + len(number{}) + sha256.Size

var ticketText = base64.RawURLEncoding.Strict()

func newTickets() tickets {
	key := make([]byte, sha256.Size)
	rand.Read(key)
	return tickets{key}
}

// issue makes the ticket of a form for its owner.
func (t tickets) issue(form, owner string, now time.Time) string {
	ticket := binary.BigEndian.AppendUint64(make([]byte, 0, ticketSize), uint64(now.UnixNano()))
	var n number
	rand.Read(n[:])
	ticket = append(ticket, n[:]...)
	return ticketText.EncodeToString(append(ticket, t.sign(ticket, form, owner)...))
}

// check is the number of a ticket that was issued here for this form and this owner within an hour.
func (t tickets) check(ticket, form, owner string, now time.Time) (n number, ok bool) {
	data, err := ticketText.DecodeString(ticket)
	if err != nil || len(data) != ticketSize || ticketText.EncodeToString(data) != ticket { // it skips line ends
		return n, false
	}
	said, signature := data[:ticketSize-sha256.Size], data[ticketSize-sha256.Size:]
	if !hmac.Equal(signature, t.sign(said, form, owner)) {
		return n, false
	}
	age := now.UnixNano() - int64(binary.BigEndian.Uint64(said))
	copy(n[:], said[8:])
	return n, age >= 0 && age <= int64(ticketLife)
}

// sign is the signature of a ticket for a form and its owner.
func (t tickets) sign(said []byte, form, owner string) []byte {
	mac := hmac.New(sha256.New, t.key)
	mac.Write(said) // always of one length
	mac.Write(binary.BigEndian.AppendUint64(nil, uint64(len(form))))
	mac.Write([]byte(form))
	mac.Write([]byte(owner))
	return mac.Sum(nil)
}
