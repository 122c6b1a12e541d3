// Command vouchmark checks a site's arc-flash study results, applies the
// owner's PPE ladder and cutoff to them, and prints warning labels, each of
// them vouched for by a stored calculation.
package main

import (
	"os"
	"time"

	"golang.org/x/term"

	"vouchmark/layout/commands"
)

// table lists the commands in the order of the help.
var table = []commands.Command{
	commands.New("init", "DIR", "create a starter folder, with comments that explain it", 1, 1, commands.Init, commands.NoSite, commands.NoJSON),
	commands.New("intake", "FILE", "read a study's file as you received it: show what it would change, or take it in", 1, 1,
		commands.Intake),
	commands.New("check", "", "check every location and list what needs attention", 0, 0, commands.Check),
	commands.New("print", "", "print labels and store the calculation behind each", 0, 0, commands.Print),
	commands.New("reprint", "ID|CODE", "reprint one label from its stored record", 1, 1, commands.Reprint),
	commands.New("guide", "", "make a page that explains how to read this site's labels", 0, 0, commands.Guide),
	commands.New("walk", "", "list the labels to put on, cover or remove, in walking order", 0, 0, commands.Walk),
	commands.New("arc", "", "compute one case and show the steps; no site folder needed", 0, 0, commands.Arc, commands.NoSite),
	commands.New("basis", "ID|CODE|LINK", "show where each number of a label comes from", 1, 1, commands.Basis),
	commands.New("due", "", "list what is due for labels and devices, by month and by cause", 0, 0, commands.Due),
	commands.New("tree", "", "show the feeds from the service down, with the standing of each label", 0, 0, commands.Tree),
	commands.New("serve", "", "run a web server that shows the pages of all labels", 0, 0, commands.Serve),
	commands.New("change add", "", "log a change to the power system", 0, 0, commands.ChangeAdd),
	commands.New("change settle", "CHANGE", "release labels that a change does not affect", 1, 1,
		commands.ChangeSettle),
	commands.New("change review", "", "log a review that found the study right or wrong", 0, 0, commands.ChangeReview),
	commands.New("accept", "ID FINDING", "accept a finding: a named person takes responsibility for it", 2, 2, commands.Accept),
	commands.New("publish", "DIR", "write the pages of all labels as files, for any web server", 1, 1, commands.Publish),
	commands.New("suppose", "", "show what a planned change would do to the labels", 0, 0, commands.Suppose),
	commands.New("mounted", "[ID…]", "note that labels were mounted on the equipment", 0, -1, commands.Mounted),
	commands.New("removed", "[ID…]", "note that labels or overlays were removed from the equipment", 0, -1,
		commands.Removed),
	commands.New("withdraw", "ID", "withdraw a label: it must no longer be used", 1, 1, commands.Withdraw),
	commands.New("history", "ID", "show a location's history, oldest first", 1, 1, commands.History),
	commands.New("audit", "[ARCHIVE]", "check records and ledger for anything altered, lost or added", 0, 1,
		commands.Audit),
	commands.New("key new", "NAME", "create a signing key", 1, 1, commands.KeyNew),
	commands.New("key trust", "KEY", "trust a public key at this site", 1, 1, commands.KeyTrust),
	commands.New("sign", "ID|CODE|ledger", "sign a record, or the ledger as it is now", 1, 1, commands.Sign),
	commands.New("records export", "", "save ledger, records, study files and policy in one archive", 0, 0,
		commands.Export),
	commands.New("records import", "ARCHIVE", "restore records and ledger from an archive that verifies", 1, 1, commands.Import),
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
