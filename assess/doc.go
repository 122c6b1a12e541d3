// Package assess judges: it has the inputs of a location, the table of their columns,
// and [Judge], which applies the owner's policy to them. It is pure; the checks that
// need other rows, the whole policy or the day are added by [Site.Assess].
//
//	location.go, row.go, columns.go  a location, its cases, its rows; what each column is
//	jsontext.go                      the same JSON as encoding/json, faster
//	policy.go, inputs.go, outcome.go what the owner decided; what a record stores
//	judge.go, govern.go              the way from inputs to outcome; which case and number decides
//	compute.go, distance.go          the equations of arc, applied to a case
//	compare.go, proven.go            the study compared with what is recomputed, and with what its own row proves
//	maintenance.go                   cases with the maintenance switch on
//	check_*.go                       findings from the location's own row and the policy
//	network*.go                      findings from other rows: feeds, ties, sources, devices, operating conditions
//	finding.go, codes.go             findings, and what each code means
//	acceptance.go, lapse.go          who is responsible for a finding, and until when
//	change.go, newvalues.go          the log of changes, and the values it gives for single locations
//	entry.go                         an entry of that log as its text has it, and its hash
//	device.go, feeder.go, ratings.go the owner's devices and conductors, and what a device sees
//	above.go                         what fed a location when its label was printed, for the record
//	source.go                        where a row came from: file, sheet, row
//	outline.go                       what connects a location with others, before its results are read
//	curve.go, typical.go, stock.go   clearing curves; typical geometry; sheets and rolls to print on
//	remedy.go                        how to clear a doubt, as a value
//	live.go                          sources that no switch can make dead
//	spell.go, percent.go, natural.go energies, lengths and percentages for a person; the order of names
//	quantity.go, rounding.go, date.go, text.go  units, how numbers are printed, days
package assess
