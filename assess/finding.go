package assess

import "fmt"

// Level says what a finding does.
type Level string

const (
	Error   Level = "error"   // stops the label from being printed
	Caution Level = "caution" // a person must look, the label prints
)

// Finding is something in an assessment that a person must look at. Message
// is a plain sentence: first what is wrong, then what to do.
type Finding struct {
	Level   Level  `json:"level"`
	Field   string `json:"field"`
	Message string `json:"message"`
	File    string `json:"file,omitempty"` // where it is neither locations.csv nor, for the policy, site.toml
	Line    int    `json:"line,omitempty"`
}

func (a *Assessment) errorf(line int, field, format string, args ...any) {
	a.Findings = append(a.Findings, Finding{Error, field, fmt.Sprintf(format, args...), "", line})
}

func (a *Assessment) cautionf(line int, field, format string, args ...any) {
	a.Findings = append(a.Findings, Finding{Caution, field, fmt.Sprintf(format, args...), "", line})
}
