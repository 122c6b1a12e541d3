package seal

import (
	"fmt"

	"vouchmark/label/record"
)

// RecordText is what stands for a record when it is signed: its hash, which
// binds every byte of it, and for a person the location and the code.
func RecordText(id record.ID, location string) string {
	return fmt.Sprintf("vouchmark record\n%s\n%s %s\n", id, location, id.Code())
}

// HeadText is what stands for a ledger when its head is signed: the hash of a
// line, which binds all lines before it, and how many they are.
func HeadText(head string, lines int) string {
	return fmt.Sprintf("vouchmark ledger\n%s\n%d lines\n", head, lines)
}
