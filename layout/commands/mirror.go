package commands

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"vouchmark/assess/infile"
	"vouchmark/label/bucket"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Mirror is the command records mirror.
func Mirror(flags *pflag.FlagSet) func(*Env, []string) error {
	days := flags.Int("lock", 0, "`DAYS` the store lets nobody, not even you, change or remove what is sent, for so many days; "+
		"it needs a bucket with object lock")
	stop := flags.Bool("stop", false, "no longer send anything; the mirror keeps what it has")
	return func(e *Env, args []string) error {
		locks := flags.Changed("lock")
		if *stop {
			if len(args) > 0 || locks {
				return &usageError{text: "--stop goes without an address and without --lock"}
			}
			return e.endMirror()
		}
		if locks && (*days < 1 || *days > mirror.MostLockDays) {
			return &usageError{text: fmt.Sprintf("--lock: from 1 to %d days, not %d", mirror.MostLockDays, *days)}
		}
		old, err := e.mirror()
		if err != nil {
			return err
		}
		set, err := e.newMirror(old, args)
		if err != nil {
			return err
		}
		if locks {
			set.LockDays = *days
		}
		if set.LockDays > 0 && set.Address.Path != "" {
			return &usageError{text: "--lock: a folder cannot lock what is in it; use a bucket with object lock"}
		}
		return e.begin(set, old)
	}
}

// mirror is the setting of the site folder; nil for no mirror.
func (e *Env) mirror() (*mirror.Setting, error) {
	data, err := infile.ReadPath(filepath.Join(e.site, record.MirrorFile), mirror.MostBytes)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return mirror.Parse(data)
}

// endMirror removes the setting.
func (e *Env) endMirror() error {
	err := os.Remove(filepath.Join(e.site, record.MirrorFile))
	if errors.Is(err, fs.ErrNotExist) {
		return errors.New("this folder has no mirror")
	}
	if err != nil {
		return &record.WriteError{Path: record.MirrorFile, Err: err}
	}
	return e.tell(map[string]bool{"stopped": true}, "%s: nothing is sent to the mirror from now on; it keeps what it has\n", e.site)
}

// newMirror is the setting that a call is about.
func (e *Env) newMirror(old *mirror.Setting, args []string) (*mirror.Setting, error) {
	switch {
	case len(args) == 0 && old == nil:
		return nil, &usageError{text: "this folder has no mirror yet; name its address, such as " +
			"vouchmark records mirror 's3://BUCKET?prefix=PLANT/&region=REGION' or file:///PATH"}
	case len(args) == 0:
		return old, nil
	}
	a, err := bucket.Parse(args[0])
	if err != nil {
		return nil, &usageError{text: err.Error()}
	}
	set := &mirror.Setting{Address: a}
	if old != nil {
		if old.Address.String() != a.String() {
			return nil, &usageError{text: fmt.Sprintf("the mirror of this folder is %s; end that first: vouchmark records mirror --stop --site %s",
				old.Address, quote(e.site))}
		}
		set.LockDays = old.LockDays
	}
	if a.Path != "" && (inside(a.Path, e.site) || inside(e.site, a.Path)) {
		return nil, &usageError{text: "the mirror would be inside the site folder, or around it; name a folder on another disk"}
	}
	if _, err := mirror.Parse(set.Text()); err != nil { // too long
		return nil, &usageError{text: "an address that cannot be kept: " + strings.ReplaceAll(err.Error(), "\n", "; ")}
	}
	return set, nil
}

// mirrorState is what the command shows.
type mirrorState struct {
	Address  string   `json:"address"`
	LockDays int      `json:"lock_days,omitempty"`
	Lines    int      `json:"lines"`    // of the ledger
	There    int      `json:"mirrored"` // of them in the mirror
	Head     string   `json:"head"`
	Since    string   `json:"since"`
	Sent     int      `json:"sent_lines"`
	Files    int      `json:"sent_files"`
	Again    int      `json:"sent_again"`
	Lacks    []string `json:"not_sent"`
	begun    bool
	name     string
}

// begin sends all that the mirror does not have, and keeps its address in the folder.
func (e *Env) begin(set, old *mirror.Setting) error {
	if err := e.store().NoteAll(func(*record.Ledger) ([]record.Line, error) { return nil, nil }); err != nil {
		return err // it settles what a crash left, so that nothing of it waits
	}
	e.wrote.take()
	o := mirror.Options{Begin: old == nil, All: true, Progress: e.progress.of("sending line")}
	s, err := e.send(context.Background(), set, o)
	if err != nil {
		how := ""
		if s != nil && s.Sent+s.Files > 0 {
			how = fmt.Sprintf("; %s and %s were sent: run the command again to go on", report.Plural(s.Sent, "line"), report.Plural(s.Files, "file"))
		}
		var fork *mirror.ForkError
		var ahead *mirror.AheadError
		if errors.As(err, &fork) || errors.As(err, &ahead) {
			return fmt.Errorf("%s: %w", set.Address.Name(), err)
		}
		return fmt.Errorf("%w%s", &record.WriteError{Path: set.Address.Name(), Err: err}, how)
	}
	if old == nil || old.LockDays != set.LockDays {
		if err := e.store().Edit(record.MirrorFile, func([]byte) ([]byte, error) { return set.Text(), nil }); err != nil {
			return err
		}
	}
	m := &mirrorState{Address: set.Address.String(), LockDays: set.LockDays, Lines: s.Lines, There: s.There, Head: s.Head,
		Sent: s.Sent, Files: s.Files, Again: s.Again, Lacks: append([]string{}, s.Lacks...), begun: old == nil, name: set.Address.Name()}
	if !s.Since.IsZero() {
		m.Since = s.Since.UTC().Format("2006-01-02 15:04 UTC")
	}
	return verdict(e.show(m, m.text), len(s.Lacks) == 0)
}

func (m *mirrorState) text(w io.Writer, width int) error {
	var b strings.Builder
	add := func(format string, a ...any) { b.WriteString(report.Wrap(fmt.Sprintf(format, a...), "", "  ", width)) }
	add("%s: %d of %s of the ledger; sent now: %s, %s", m.name, m.There, report.Plural(m.Lines, "line"), report.Plural(m.Sent, "line"),
		report.Plural(m.Files, "other file"))
	if m.Head != "" {
		add("head: %s, stored %s", m.Head, m.Since)
	}
	if m.Again > 0 {
		add("%d of what was sent had been in the mirror before and was removed there: find out who can write to it", m.Again)
	}
	for _, l := range m.Lacks {
		add("not sent: %s; run vouchmark audit", l)
	}
	if m.begun {
		add("From now on every command that writes also sends what it wrote.")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// openMirror opens the bucket of a mirror. A folder that is to have one already is not made: its disk may be missing.
func openMirror(ctx context.Context, a *bucket.Address, begin bool) (bucket.Bucket, error) {
	if a.Path != "" && !begin {
		if info, err := os.Stat(a.Path); err != nil || !info.IsDir() {
			return nil, errors.New("there is no such folder; is its disk connected?")
		}
	}
	return a.Open(ctx)
}

// send sends what a mirror does not have.
func (e *Env) send(ctx context.Context, set *mirror.Setting, o mirror.Options) (*mirror.State, error) {
	ledger, text, err := e.store().LedgerText()
	if err != nil {
		return nil, err
	}
	b, err := openMirror(ctx, set.Address, o.Begin)
	if err != nil {
		return nil, err
	}
	defer b.Close()
	if set.LockDays > 0 {
		o.Until = e.Now().Add(time.Duration(set.LockDays) * 24 * time.Hour)
	}
	return mirror.Send(ctx, b, mirror.Source{Folder: os.DirFS(e.site), Ledger: ledger, Text: text}, o)
}
