package sheet

import "strings"

// Problem is one reason why a file cannot be read.
type Problem struct {
	File     string `json:"file"`
	Sheet    string `json:"sheet,omitempty"`
	Line     int    `json:"line,omitempty"`   // of a text file, or row of a sheet, from 1; 0 for the file or sheet as a whole
	Column   string `json:"column,omitempty"` // "character 12" or "cell B7"
	Found    string `json:"found"`
	Expected string `json:"expected,omitempty"`
	Do       string `json:"do,omitempty"` // what to do
}

// Error is all that keeps a file from being read.
type Error []Problem

func (e Error) Error() string {
	lines := make([]string, len(e))
	for i, p := range e {
		lines[i] = p.Found
	}
	return strings.Join(lines, "\n")
}
