package assess

import "fmt"

// Level says what a finding means for the label.
type Level string

const (
	Error   Level = "error"   // stops the label from being printed
	Caution Level = "caution" // a person must look, the label prints
)

// Finding is something in an assessment that a person must look at. Message is a
// plain sentence: first what is wrong, then what to do.
type Finding struct {
	Level   Level  `json:"level"`
	Code    Code   `json:"code"`
	Field   string `json:"field"`
	Message string `json:"message"`
	File    string `json:"file,omitempty"` // where it is neither locations.csv nor, for the policy, site.toml
	Line    int    `json:"line,omitempty"`
	// AcceptedBy is who accepted an error, which made it a caution; "" for nobody.
	AcceptedBy string `json:"accepted_by"`

	final bool // an error that nobody can accept, although others of its code can be accepted
}

// Sentence is the finding where nothing else names its column and its code. What cannot
// be read makes sense only with its column.
func (f *Finding) Sentence() string {
	text := f.Message + " [" + string(f.Code) + "]"
	if f.Code == Unreadable {
		text = f.Field + ": " + text
	}
	return text
}

func (a *Assessment) errorf(line int, code Code, field, format string, args ...any) {
	a.add(Finding{Level: Error, Code: code, Field: field, Message: fmt.Sprintf(format, args...), Line: line})
}

func (a *Assessment) cautionf(line int, code Code, field, format string, args ...any) {
	a.add(Finding{Level: Caution, Code: code, Field: field, Message: fmt.Sprintf(format, args...), Line: line})
}

// finalf adds an error that nobody can accept, although others of its code can be.
func (a *Assessment) finalf(line int, code Code, field, format string, args ...any) {
	a.add(Finding{Level: Error, Code: code, Field: field, Message: fmt.Sprintf(format, args...), Line: line, final: true})
}

// add adds a finding. An accepted one is a caution.
func (a *Assessment) add(f Finding) {
	a.answer(&f)
	a.Findings = append(a.Findings, f)
}

// answer turns an error that somebody accepted into a caution.
func (a *Assessment) answer(f *Finding) {
	if f.Level != Error || f.final || !f.Code.Acceptable() {
		return
	}
	if by := a.accepted(f.Code); by != nil {
		f.Level, f.AcceptedBy = Caution, by.By
		f.Message += by.words()
	}
}

// Add adds a finding that follows from what was printed before, and not from the
// inputs and the day. It can be accepted like any other.
func (a *Assessment) Add(code Code, level Level, line int, field, message string) {
	a.add(Finding{Level: level, Code: code, Field: field, Message: message, Line: line})
	a.errorsFirst()
}

// found reports whether a finding of a code was found.
func (a *Assessment) found(c Code) bool {
	return find(a.Findings, func(f *Finding) bool { return f.Code == c }) != nil
}
