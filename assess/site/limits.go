package site

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// The limits of input files. They are far above what a plant needs, and keep a wrong file from
// using all memory.
const (
	longestTable  = infile.GiB     // locations.csv, which is read piece by piece
	longestPolicy = infile.MiB     // site.toml, a wording
	longestLog    = 4 * infile.MiB // changes.toml, intake.toml: the program adds to them
	longestSmall  = infile.MiB     // keys.txt and others
	mostRows      = 1048576        // as many as a spreadsheet has
	mostColumns   = 1000
	longestCell   = 64 * infile.KiB
)

// mostCells is how many cells a table may have in all; tests lower it.
var mostCells = 50_000_000

// Limits are the limits of a site's own files.
func Limits() []infile.Limit {
	size, count := infile.Size, infile.Count
	return []infile.Limit{
		{What: "`locations.csv`, `devices.csv`", Most: size(longestTable) + ", " + count(mostRows, "rows") + ", " + count(mostColumns, "columns") + ", " +
			size(longestCell) + " a cell, " + count(mostCells, "cells")},
		{What: "`site.toml`, a wording", Most: size(longestPolicy)},
		{What: "`changes.toml`, `intake.toml`", Most: size(longestLog)},
		{What: "in any of these TOML files", Most: count(deepestTOML, "levels") + " of tables and lists, " + count(longestKey, "bytes") + " a key, " +
			size(mostNames) + " of names, each counted with those that it is in"},
		{What: "a clearing curve", Most: size(MostCurve)},
		{What: "a name, an id, a note or reason, a sentence of a wording", Most: fmt.Sprintf("%d, %d, %s, %d characters", kindText.longest,
			assess.ColumnNamed("id").Longest, strings.TrimSpace(count(kindNote.longest, "")), kindWording.longest)},
		{What: "a report of problems", Most: count(mostOfKind, "of a kind") + ", " + count(mostProblems, "in all") + "; the rest is counted"},
	}
}

// MostCurve is the most bytes that a clearing curve may have.
const MostCurve = infile.MiB

// SizeLimit is the most bytes that a file of a site folder may have, by its name.
func SizeLimit(name string) int64 {
	switch {
	case name == locationsFile, name == assess.DevicesFile:
		return longestTable
	case name == assess.ChangesFile, name == assess.IntakeFile:
		return longestLog
	case strings.HasSuffix(name, ".toml"):
		return longestPolicy
	}
	return longestSmall
}

// beyondLimits reports the first place of a TOML text that is beyond a limit.
func (r *reader) beyondLimits(file string, data []byte) bool {
	f := scanTOML(string(data))
	if f != nil {
		r.report(file, f.line, "", f.found, f.expected, "the file was not read; correct this line first")
	}
	return f != nil
}
