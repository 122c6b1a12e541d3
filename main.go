// Command vouchmark takes a site's arc-flash study results, checks them,
// judges them by the owner's own PPE ladder and cutoff, and prints warning
// labels that are each vouched for by a stored calculation.
package main

import (
	"os"
	"time"

	"golang.org/x/term"

	"vouchmark/layout/commands"
)

// table is the commands in the order of the help.
var table = []commands.Command{
	commands.New("init", "DIR", "make a commented starter folder", 1, 1, commands.Init, commands.NoSite, commands.NoJSON),
	commands.New("intake", "FILE", "take in a study's file as it was handed over, or show what it would change", 1, 1,
		commands.Intake),
	commands.New("check", "", "judge every location and list what a person must look at", 0, 0, commands.Check),
	commands.New("print", "", "print labels, and store the calculation behind each", 0, 0, commands.Print),
	commands.New("reprint", "ID|CODE", "print one label again, from its record alone", 1, 1, commands.Reprint),
	commands.New("guide", "", "make the page that teaches how to read this site's labels", 0, 0, commands.Guide),
	commands.New("walk", "", "list what to do on the equipment, in walking order", 0, 0, commands.Walk),
	commands.New("arc", "", "compute one case without a site folder, with the steps", 0, 0, commands.Arc, commands.NoSite),
	commands.New("basis", "ID|CODE|LINK", "show where each number of a label comes from", 1, 1, commands.Basis),
	commands.New("due", "", "list what has to be done about labels, by month and by cause", 0, 0, commands.Due),
	commands.New("tree", "", "show the feeds from the service down, each location with its standing", 0, 0, commands.Tree),
	commands.New("serve", "", "show the pages live, on this machine", 0, 0, commands.Serve),
	commands.New("change add", "", "log what was altered on the power system", 0, 0, commands.ChangeAdd),
	commands.New("change settle", "CHANGE", "clear a change for labels that hold all the same", 1, 1,
		commands.ChangeSettle),
	commands.New("change review", "", "log a review of the study: found right or wrong", 0, 0, commands.ChangeReview),
	commands.New("accept", "ID FINDING", "answer by name for a finding that may be accepted", 2, 2, commands.Accept),
	commands.New("publish", "DIR", "write the pages of all labels as files for any web server", 1, 1, commands.Publish),
	commands.New("suppose", "", "what a change would make of the labels, before it is made", 0, 0, commands.Suppose),
	commands.New("mounted", "[ID…]", "note that labels are mounted on the equipment", 0, -1, commands.Mounted),
	commands.New("removed", "[ID…]", "note that labels that are out of use were removed from the equipment", 0, -1,
		commands.Removed),
	commands.New("withdraw", "ID", "take a label out of use", 1, 1, commands.Withdraw),
	commands.New("history", "ID", "tell all that is known of a location, oldest first", 1, 1, commands.History),
	commands.New("audit", "[ARCHIVE]", "look for whatever was altered, lost or added behind the labels", 0, 1,
		commands.Audit),
	commands.New("key new", "NAME", "make a pair of keys to sign with", 1, 1, commands.KeyNew),
	commands.New("key trust", "KEY", "trust a public key at this site", 1, 1, commands.KeyTrust),
	commands.New("sign", "ID|CODE|ledger", "sign a record, or the ledger as it stands", 1, 1, commands.Sign),
	commands.New("records export", "", "put ledger, records and policy into one file for safekeeping", 0, 0,
		commands.Export),
	commands.New("records import", "ARCHIVE", "bring them back, if they verify", 1, 1, commands.Import),
}

func main() {
	e := &commands.Env{Stdout: commands.StandardOutput{}, Stderr: os.Stderr, Now: time.Now, Width: 100}
	if w, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w >= 60 {
		e.Width = w
	}
	if term.IsTerminal(int(os.Stderr.Fd())) {
		e.Progress = commands.ShowProgress
	}
	os.Exit(commands.Run(e, table, os.Args[1:]))
}
