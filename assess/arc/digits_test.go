package arc

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"testing"
)

// gridHash is the SHA-256 of the lines that TestDigits writes. It was computed on amd64; a
// machine on which it differs rounds otherwise somewhere in the ninth digit.
const gridHash = "8ad6540b37f80af813916b223928a4e3582b0a9200b065f3b550aef55fd4cda5"

// TestDigits writes every result over the grid to 9 significant digits and compares the
// hash of the lines, so that another architecture or compiler shows any difference.
func TestDigits(t *testing.T) {
	h := sha256.New()
	line := make([]byte, 0, 256)
	grid(func(in Input, ms, minMS float64) {
		res := mustEvaluate(t, &in, ms, minMS)
		line = line[:0]
		for _, x := range resultList(&res) {
			line = strconv.AppendFloat(line, x, 'e', 8, 64)
			line = append(line, ' ')
		}
		line = append(line, '\n')
		h.Write(line)
	})
	if got := hex.EncodeToString(h.Sum(nil)); got != gridHash {
		t.Errorf("hash %s, stored %s", got, gridHash)
	}
}
