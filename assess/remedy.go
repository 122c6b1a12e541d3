package assess

import "strings"

// Remedy says how to clear a doubt, a refusal or a problem: a sentence for a person, in
// which {} stands for a command of the program. The package with the commands decides
// which command that is, and quotes it for a shell: see [Remedy.Text].
type Remedy struct {
	Words string
	Act   Act    // what the command does; "" if the words name none
	On    string // the location, the code or the change that it is about; "" for none; see ToAccept
}

// Act is what a command does.
type Act string

const (
	ToStart        Act = "start a site folder"
	ToCheck        Act = "check the site"
	ToList         Act = "list every finding"
	ToPrint        Act = "print labels"
	ToPrintDue     Act = "print the labels that are due"
	ToPreview      Act = "draw previews"
	ToReprint      Act = "print a label again"
	ToPrintOverlay Act = "print the overlays that are due"
	ToWithdraw     Act = "withdraw a label"
	ToRemove       Act = "note that a label is removed"
	ToSee          Act = "note what is on the equipment"
	ToSeeNone      Act = "note that no label is on the equipment"
	ToUncover      Act = "note that an overlay is removed"
	ToSettle       Act = "settle a change"
	ToAnswer       Act = "settle a change against its screening"
	ToNote         Act = "note entries of changes.toml by name" // On is the mark of one; "" to list them
	ToAccept       Act = "accept a finding by name"             // On is a location, a blank and the finding's code
	ToInterim      Act = "print a label that does not hold, with a strip that says so"
	ToHelp         Act = "list the flags for a case"
)

// Text is the remedy with the command as written by command; nil only names the act.
func (r Remedy) Text(command func(act Act, on string) string) string {
	if r.Act == "" {
		return r.Words
	}
	name := string(r.Act)
	if command != nil {
		name = command(r.Act, r.On)
	}
	return strings.Replace(r.Words, "{}", name, 1)
}
