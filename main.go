// Command vouchmark checks a site's arc-flash study results, applies the
// owner's PPE ladder and cutoff to them, and prints warning labels, each of
// them vouched for by a stored calculation.
package main

import (
	"os"
	"strconv"
	"time"

	"golang.org/x/term"

	"vouchmark/layout/commands"
)

func main() {
	e := &commands.Env{Stdout: commands.StandardOutput{}, Stderr: os.Stderr, Now: time.Now, Width: width(), Getenv: os.Getenv,
		Stdin:     os.Stdin,
		OutIsTerm: term.IsTerminal(int(os.Stdout.Fd())), ErrIsTerm: term.IsTerminal(int(os.Stderr.Fd()))}
	if in := int(os.Stdin.Fd()); term.IsTerminal(in) {
		e.Secret = func() (string, error) {
			text, err := term.ReadPassword(in)
			return string(text), err
		}
	}
	os.Exit(commands.Run(e, table, os.Args[1:]))
}

// width is the number of columns to fill: those of the terminal, also where a pager
// reads the output, or those of $COLUMNS; else 80.
func width() int {
	for _, f := range []*os.File{os.Stdout, os.Stderr} {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			return max(60, w)
		}
	}
	if w, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && w > 0 {
		return max(60, w)
	}
	return 80
}

// table lists the commands: their help, the completion of a shell and the manual page follow
// from it. Within a group they have the order in which a person needs them.
var table = []commands.Command{
	{Name: "init", Args: "DIR", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.Init,
		NoSite: true, NoJSON: true,
		Short: "create a starter folder, with comments that explain it",
		About: "DIR must be new or empty. Its policy and its rows are invented: until you put in your own and delete " +
			"starter = true from site.toml, only previews print.",
		Example: "vouchmark init plant"},
	{Name: "intake", Args: "FILE", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.Intake,
		Short: "read a study's file as you received it",
		About: "Without --write it only shows what it found in the file, what it needs you to answer, and what the study " +
			"would change for each label. With --write it writes locations.csv and intake.toml, keeps the file " +
			"and the previous locations.csv in studies/, and adds a line to the ledger. FILE is a workbook (.xlsx) or a text file (CSV).",
		Example: "vouchmark intake results.xlsx --site plant\n" +
			`vouchmark intake results.csv --site plant --column "Trip Time=clear_s" --write`},
	{Name: "check", For: commands.Coordinator, Setup: commands.Check,
		Short: "check every location and list what needs attention",
		About: "It writes nothing. It shows what each label would say, whether the printed label still holds, " +
			"and every finding: an error stops the label, a caution does not. The exit code is 1 if there is an error.",
		Example: "vouchmark check --site plant\nvouchmark check --site plant --errors"},
	{Name: "print", For: commands.Coordinator, Setup: commands.Print,
		Short: "print labels and store the calculation behind each",
		About: "It writes a PDF, stores the calculation behind each label in records/, and adds a line to the ledger. " +
			"A location with an error does not print, nor does a label that would itself be lapsed or in question: the output says why, " +
			"and what to do. Print the PDF at 100 %, without scaling.",
		Example: "vouchmark print --site plant --preview\n" +
			"vouchmark print --site plant --stock letter-4x3 --only MCC-4,MCC-5 --start 3\n" +
			`vouchmark print --site plant --changed --area "Building 2" --slip`},
	{Name: "walk", For: commands.Coordinator, Setup: commands.Walk,
		Short: "list the labels to mount, cover or remove, in walking order",
		About: "It writes a list to take along, as a PDF; with --csv a spreadsheet in which you tick what is done, " +
			"for mounted --from.",
		Example: "vouchmark walk --site plant --csv"},
	{Name: "mounted", Args: "[ID…]", For: commands.Coordinator, Operands: [2]int{0, -1}, Setup: commands.Mounted,
		Short:   "note that labels were mounted on the equipment",
		About:   "It adds a line to the ledger. Name the locations, or give --all or --from.",
		Example: "vouchmark mounted MCC-4 MCC-5 --site plant --applied 2026-05-01\nvouchmark mounted --site plant --from walk.csv"},
	{Name: "removed", Args: "[ID…]", For: commands.Coordinator, Operands: [2]int{0, -1}, Setup: commands.Removed,
		Short:   "note that labels or overlays were removed from the equipment",
		About:   "It adds a line to the ledger. Name the locations, or give --all.",
		Example: "vouchmark removed MCC-4 --site plant\nvouchmark removed --all --overlay --site plant"},
	{Name: "round", For: commands.Coordinator, Setup: commands.Round,
		Short: "show which labels were seen on the equipment, and what was found",
		About: "It writes nothing to the site folder. A round is a walk on which people look what is on the equipment; " +
			"what is seen at most 30 days after the last look belongs to the same round.",
		Example: "vouchmark round --site plant\nvouchmark round --site plant --csv > round.csv"},
	{Name: "seen", Args: "[ID|CODE…]", For: commands.Coordinator, Operands: [2]int{0, -1}, Setup: commands.Seen,
		Short: "note what is on the equipment: the right label, another one, none",
		About: "It adds a line to the ledger. An id says that the right label is there; a code or the text of a QR code is " +
			"compared with the label that should be there. If the right label is there, it is also noted as mounted.",
		Example: "vouchmark seen MCC-4 MCC-5 --site plant\nvouchmark seen MCC-6 --found missing --site plant\nvouchmark seen --site plant --from round.csv"},
	{Name: "due", For: commands.Coordinator, Setup: commands.Due,
		Short:   "list what is due for labels and devices, by month and by cause",
		About:   "It writes nothing to the site folder.",
		Example: "vouchmark due --site plant --within 90\nvouchmark due --site plant --ics > due.ics"},
	{Name: "guide", For: commands.Coordinator, Setup: commands.Guide,
		Short:   "make a page that explains how to read this site's labels",
		About:   "It writes one page as a PDF, for training and the bulletin board.",
		Example: "vouchmark guide --site plant"},
	{Name: "publish", Args: "DIR|ADDRESS", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.Publish,
		Short: "write the pages of all labels as files, for any web server",
		About: "A QR code leads to such a page where site.toml has a link. DIR must be outside the site folder; " +
			"only what changed is written. ADDRESS is a bucket of object storage that speaks the protocol of S3: s3://BUCKET with settings " +
			"after a question mark (prefix, region, endpoint, use_path_style), in quotes for the shell; or file:///PATH for a folder. " +
			"Credentials come from the environment (AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or AWS_PROFILE), never from the address.",
		Example: "vouchmark publish /srv/labels --site plant\n" +
			"vouchmark publish 's3://labels?prefix=PLANT/&region=eu-central-1' --site plant"},
	{Name: "overview", Args: "[PLACE…]", For: commands.Coordinator, Operands: [2]int{0, -1}, Setup: commands.Overview,
		NoSite: true,
		Short:  "show many plants in one table or page: which labels need attention",
		About: "A place is a site folder, a published folder, or the address of a published site (http, https, or s3://BUCKET?prefix=PLANT/), " +
			"of which only the start of site.json is read; or what holds many of these, each in a folder of its own. It writes nothing without --out. A plant that cannot be read is listed as such, and the " +
			"exit code is 1.",
		Example: "vouchmark overview plants/north plants/south\n" +
			"vouchmark overview --from plants.txt --out /srv/overview\n" +
			"vouchmark overview 's3://plants?region=eu-central-1' --find MCC-4"},
	{Name: "policy diff", Args: "[PLACE…]", For: commands.Coordinator, Operands: [2]int{0, -1}, Setup: commands.PolicyDiff,
		NoSite: true,
		Short:  "list in what the policies of plants differ",
		About: "It writes nothing. Places are those of overview. It compares what decides labels, is printed on them or says when they are " +
			"due, not what describes one plant (name, link, nameplates, stocks) nor the texts in wording/. " +
			"The exit code is 0 whether they differ or not, and 1 if a policy cannot be read.",
		Example: "vouchmark policy diff plants/north plants/south"},
	{Name: "serve", For: commands.Coordinator, Setup: commands.Serve,
		Short: "run a web server that shows the pages of all labels",
		About: "It shows the folder as it is now, and writes nothing unless you give --allow-writes: then its forms do what " +
			"the commands for planners do. " +
			"Without --addr only this machine can reach it.",
		Example: "vouchmark serve --site plant\n" +
			"vouchmark serve --site plant --allow-writes --people ~/vouchmark/people.toml --addr :8484 --tls-cert cert.pem --tls-key key.pem"},
	{Name: "person add", Args: "NAME", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.PersonAdd, NoSite: true,
		Short: "add a person who may sign in to the server",
		About: "It adds an entry to the file of --people, and makes the file if there is none. The ledger then has the name and the " +
			"role of whoever signed in. The roles: read sees the pages; planner also prints, logs changes and notes what was done on " +
			"the equipment; engineer also settles changes, reviews studies and accepts findings; owner may do all of it. The file has only a hash of the " +
			"password.",
		Example: `vouchmark person add "E. Sample, PE" --role engineer --people ~/vouchmark/people.toml`},
	{Name: "person list", For: commands.Coordinator, Setup: commands.PersonList, NoSite: true,
		Short:   "list the people who may sign in, and their roles",
		About:   "It writes nothing.",
		Example: "vouchmark person list --people ~/vouchmark/people.toml"},
	{Name: "person role", Args: "NAME ROLE", For: commands.Coordinator, Operands: [2]int{2, 2}, Setup: commands.PersonRole, NoSite: true,
		Short: "give a person another role",
		About: "It changes the file of --people. It counts at once: a running server asks the person to sign in again. What was noted before " +
			"keeps the role of its day.",
		Example: `vouchmark person role "M. Sample" engineer --people ~/vouchmark/people.toml`},
	{Name: "person password", Args: "NAME", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.PersonPassword, NoSite: true,
		Short:   "give a person another password",
		About:   "It changes the file of --people. It counts at once: whoever is signed in under that name must sign in again.",
		Example: `vouchmark person password "M. Sample" --people ~/vouchmark/people.toml`},
	{Name: "person remove", Args: "NAME", For: commands.Coordinator, Operands: [2]int{1, 1}, Setup: commands.PersonRemove, NoSite: true,
		Short:   "remove a person: that name can no longer sign in",
		About:   "It changes the file of --people. It counts at once. What the ledger notes under that name stays.",
		Example: `vouchmark person remove "M. Sample" --people ~/vouchmark/people.toml`},

	{Name: "reprint", Args: "ID|CODE", For: commands.Planner, Operands: [2]int{1, 1}, Setup: commands.Reprint,
		Short: "print one label again, from its stored record",
		About: "Name the location, or the code on the label. It writes a PDF and adds a line to the ledger. " +
			"A label that no longer holds does not print: the message says why, and what would clear it.",
		Example: `vouchmark reprint MCC-4 --site plant --reason "label torn"`},
	{Name: "change add", For: commands.Planner, Setup: commands.ChangeAdd,
		Short: "log a change to the power system",
		About: "It adds an entry to changes.toml and a line to the ledger, and lists the labels that are in question from " +
			"now on: those that the change may have made wrong. With the new values it also compares each " +
			"label with the energy that is now possible (screening).",
		Example: `vouchmark change add --site plant --at MCC-4 --kind "fuse replaced" --note "K5 100 A"`},
	{Name: "suppose", For: commands.Planner, Setup: commands.Suppose,
		Short: "show what a planned change would do to the labels",
		About: "It writes nothing and is not a study: it shows bounds that a study would have to confirm, " +
			"and says where there is no bound.",
		Example: "vouchmark suppose --site plant --at MCC-4 --fault-ka 25"},
	{Name: "tree", For: commands.Planner, Setup: commands.Tree,
		Short: "show the feeds from the service down, with the standing of each label",
		About: "It writes nothing. Standing: whether a mounted label still holds. A change at a location puts in question " +
			"what that location feeds.",
		Example: "vouchmark tree --site plant --from MCC-4"},
	{Name: "history", Args: "ID", For: commands.Planner, Operands: [2]int{1, 1}, Setup: commands.History,
		Short:   "show a location's history, oldest first",
		About:   "It writes nothing: studies, prints, changes, reviews and what was mounted or removed, from the folder's own files.",
		Example: "vouchmark history MCC-4 --site plant"},

	{Name: "basis", Args: "ID|CODE|LINK", For: commands.Auditor, Operands: [2]int{1, 1}, Setup: commands.Basis,
		Short: "show where each number of a label comes from",
		About: "Name the location, the code on the label, or the text of its QR code; a scanned text is compared with the " +
			"record, and the exit code is 1 if they differ. It writes nothing.",
		Example: "vouchmark basis MCC-4 --site plant"},
	{Name: "audit", Args: "[ARCHIVE]", For: commands.Auditor, Operands: [2]int{0, 1}, Setup: commands.Audit,
		Short: "find what was altered, lost or added in records and ledger",
		About: "It repairs nothing. It computes every label again and follows the chain of the ledger. " +
			"Removal of the newest lines shows only against a chain head that you kept elsewhere: give it with --head, " +
			"or the address of the folder's mirror with --mirror.",
		Example: "vouchmark audit --site plant --pdf audit.pdf\nvouchmark audit records.zip"},
	{Name: "records export", For: commands.Auditor, Setup: commands.Export,
		Short:   "save ledger, records, study files and policy in one archive",
		About:   "It writes a ZIP file, and refuses if an audit finds damage. Note the chain head that it shows.",
		Example: "vouchmark records export --site plant --out records-2026.zip"},
	{Name: "records import", Args: "ARCHIVE", For: commands.Auditor, Operands: [2]int{1, 1}, Setup: commands.Import,
		Short: "restore records and ledger from an archive that verifies",
		About: "It writes into the site folder what the folder does not have. The archive must begin with the folder's own " +
			"ledger. Trusted keys are not imported.",
		Example: "vouchmark records import records-2026.zip --site plant"},

	{Name: "records mirror", Args: "[URL]", For: commands.Auditor, Operands: [2]int{0, 1}, Setup: commands.Mirror,
		Short: "send ledger and records to a second place, where they are only added",
		About: "It sends what the place does not have, and keeps its address in mirror.toml: from then on every command that writes also sends " +
			"what it wrote, after the folder has it. Without URL it sends what waits, and shows what is there. Credentials come from the " +
			"environment of the store (AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or AWS_PROFILE). audit --mirror compares both.",
		Example: "vouchmark records mirror 's3://BUCKET?prefix=plant/&region=REGION' --site plant\n" +
			"vouchmark records mirror file:///mnt/second/plant --site plant\n" +
			"vouchmark records mirror --site plant"},

	{Name: "accept", Args: "ID FINDING", For: commands.Engineer, Operands: [2]int{2, 2}, Setup: commands.Accept,
		Short: "accept a finding: a named person takes responsibility for it",
		About: "It adds an entry to site.toml and a line to the ledger, and the label prints. Acceptance does not make the equipment safe and " +
			"changes no number: it says who decided, and why. It counts for the numbers in the row now, until a given " +
			"day. FINDING is the code in brackets that check shows; a star marks those that may be accepted.",
		Example: `vouchmark accept MCC-4 over-rating --site plant --by "E. Sample, PE" --reason "tie locked open"`},
	{Name: "change settle", Args: "CHANGE", For: commands.Engineer, Operands: [2]int{1, 1}, Setup: commands.ChangeSettle,
		Short: "release labels that a change does not affect",
		About: "It adds an entry to changes.toml and a line to the ledger. A qualified person decides that these labels " +
			"still hold, and is responsible for it; they are then no longer in question because of this change. " +
			"CHANGE is its date and place, as check shows it.",
		Example: `vouchmark change settle 2026-08-11/MCC-4 --site plant --scope all --reason "same fuse" --by "E. Sample, PE"`},
	{Name: "change review", For: commands.Engineer, Setup: commands.ChangeReview,
		Short: "log a review that found the study right or wrong",
		About: "It adds an entry to changes.toml and a line to the ledger. Right starts a new review interval; " +
			"wrong puts the labels in question until a study with data collected later.",
		Example: `vouchmark change review --site plant --scope MCC-4,MCC-5 --finding right --reason "walked down" --by "E. Sample, PE"`},
	{Name: "change note", Args: "[MARK…]", For: commands.Engineer, Operands: [2]int{0, -1}, Setup: commands.ChangeNote,
		Short: "vouch for entries that were typed into changes.toml by hand",
		About: "Without MARK it lists the entries that the ledger does not note, each with its mark and its text. With MARK and --by it " +
			"adds a line to the ledger for each: a settlement, or a review that found the study right, counts from then on. " +
			"Read each entry before you vouch for it.",
		Example: `vouchmark change note --site plant
vouchmark change note 3fa94c1e --site plant --by "E. Sample, PE"`},
	{Name: "withdraw", Args: "ID", For: commands.Engineer, Operands: [2]int{1, 1}, Setup: commands.Withdraw,
		Short:   "withdraw a label: it must no longer be used",
		About:   "It adds a line to the ledger. If the equipment is gone or needs no label, remove the label and note that with removed; else cover it until a new label takes its place.",
		Example: `vouchmark withdraw MCC-4 --site plant --reason "equipment retired"`},
	{Name: "arc", For: commands.Engineer, Setup: commands.Arc, NoSite: true,
		Short: "compute one case and show the steps; no site folder needed",
		About: "It writes nothing. Use its result to check a study, never to choose PPE. " +
			"Give each quantity once, in one of its units.",
		Example: "vouchmark arc --voltage-v 480 --fault-ka 22 --electrodes VCBB --gap-mm 25 --distance-in 18 --height-in 14 " +
			"--width-in 12 --depth-in 8 --clear-ms 50 --clear-reduced-ms 50"},
	{Name: "key new", Args: "NAME", For: commands.Engineer, Operands: [2]int{1, 1}, Setup: commands.KeyNew,
		Short: "create a signing key",
		About: "It writes the private half to the file of --out and shows the public half. Keep the file secret, " +
			"outside every site folder.",
		Example: "vouchmark key new e.sample --out e.sample.key"},
	{Name: "key trust", Args: "KEY", For: commands.Engineer, Operands: [2]int{1, 1}, Setup: commands.KeyTrust,
		Short:   "trust a public key at this site",
		About:   "It adds the key to keys.txt. Make sure first that the key came from its owner.",
		Example: "vouchmark key trust e.sample+0a1b2c3d+AW… --site plant"},
	{Name: "sign", Args: "ID|CODE|ledger", For: commands.Engineer, Operands: [2]int{1, 1}, Setup: commands.Sign,
		Short:   "sign a record, or the ledger as it is now",
		About:   "It adds a line with the signature to the ledger; basis and audit show who signed.",
		Example: "vouchmark sign MCC-4 --site plant --key e.sample.key"},

	{Name: "help", Args: "[COMMAND]", For: commands.Anyone, Operands: [2]int{0, 2}, Setup: commands.Help,
		NoSite: true, NoJSON: true,
		Short:   "list the commands, or explain one",
		About:   "vouchmark COMMAND --help does the same.",
		Example: "vouchmark help print"},
	{Name: "version", For: commands.Anyone, Setup: commands.Version, NoSite: true,
		Short: "show the version of the program, of its rules and of its records",
		About: "Rules rise when a change of the program could alter a printed value, Schema when the format of a record " +
			"changes. The program reads every older record.",
		Example: "vouchmark version --json"},
	{Name: "completion", Args: "bash|zsh|fish|powershell", For: commands.Anyone, Operands: [2]int{1, 1},
		Setup: commands.Completion, NoSite: true, NoJSON: true,
		Short: "write a script with which a shell completes commands, flags, ids and files",
		About: "It writes the script to standard output. bash: source it in ~/.bashrc. zsh: save it as _vouchmark in a folder " +
			"of $fpath, or source it after compinit. fish: save it in ~/.config/fish/completions/. PowerShell: add it to $PROFILE.",
		Example: "source <(vouchmark completion bash)\n" +
			"vouchmark completion fish > ~/.config/fish/completions/vouchmark.fish"},
	{Name: "man", For: commands.Anyone, Setup: commands.Man, NoSite: true, NoJSON: true,
		Short:   "write the manual page of all commands (mdoc)",
		About:   "It writes to standard output, for man -l or a folder of manual pages.",
		Example: "vouchmark man > vouchmark.1 && man -l ./vouchmark.1"},
}
