package assess

// Code names what a finding is about. A code never changes its meaning.
type Code string

// The codes of findings about a location.
const (
	Unreadable          Code = "unreadable"
	VoltageTooLow       Code = "voltage-too-low"
	VoltageUnusual      Code = "voltage-unusual"
	CurrentTooHigh      Code = "current-too-high"
	CurrentTooLow       Code = "current-too-low"
	DurationTooShort    Code = "duration-too-short"
	DistanceUnusual     Code = "distance-unusual"
	DistanceExponent    Code = "distance-exponent"
	Understated         Code = "understated"
	OpenAirInEnclosure  Code = "open-air-in-enclosure"
	DeviceNotUpstream   Code = "device-not-upstream"
	OverRating          Code = "over-rating"
	OverInterrupting    Code = "over-interrupting"
	FaultBeyondSource   Code = "fault-beyond-source"
	FaultBelowTrafo     Code = "fault-below-transformer"
	SourceLimited       Code = "source-limited"
	Frequency           Code = "frequency"
	ApproachTooNear     Code = "approach-too-near"
	NoFeeds             Code = "no-feeds"
	ReducedClearsSooner Code = "reduced-clears-sooner"
	OldMethod           Code = "old-method"
	EditionUnknown      Code = "edition-unknown"
	WearUntranslated    Code = "wear-untranslated"
	SurveyAlone         Code = "survey-alone"
	BoundBelowCutoff    Code = "bound-below-cutoff"
	MaintenanceWorse    Code = "maintenance-worse"
	MaintenanceAlone    Code = "maintenance-alone"
	MaintenancePartial  Code = "maintenance-partial"
	MaintenanceUnnamed  Code = "maintenance-unnamed"

	NoResults         Code = "no-results"
	NotAccepted       Code = "not-accepted"
	Overstated        Code = "overstated"
	NotRecomputable   Code = "not-recomputable"
	MethodUnfit       Code = "method-unfit"
	MayNotClear       Code = "may-not-clear"
	CurveSlower       Code = "curve-slower"
	TypicalValues     Code = "typical-values"
	MethodLimits      Code = "method-limits"
	TwoSecondsCounted Code = "two-seconds"
	LongArc           Code = "long-arc"
	ReducedGoverns    Code = "reduced-governs"
	GapUntypical      Code = "gap-untypical"
	DistanceUntypical Code = "distance-untypical"
	BelowFiftyVolts   Code = "below-50-volts"
	SmallSource       Code = "small-source"
	OwnMain           Code = "own-main"
	UnknownFeed       Code = "unknown-feed"
	UnknownPlace      Code = "unknown-place"
	FeedLoop          Code = "feed-loop"
	ApproachMissing   Code = "approach-missing"
	NoGlove           Code = "no-glove"
	DatedAhead        Code = "dated-ahead"
	SurveyedAfter     Code = "surveyed-after-study"
	OlderEditionCode  Code = "older-edition"
	DeviceOverdue     Code = "device-overdue"
	DeviceFailed      Code = "device-failed"
)

// The codes of findings about a whole site.
const (
	KitAsCategory   Code = "kit-as-category"
	RungAboveCutoff Code = "rung-above-cutoff"
	EntryAhead      Code = "entry-ahead"
	LedgerAhead     Code = "ledger-ahead"
	FeedsNotNoted   Code = "feeds-not-noted"
	EntryUnsigned   Code = "entry-unsigned"
	EntryUnnoted    Code = "entry-not-noted"
	EntryLost       Code = "entry-lost"
	AcceptUnused    Code = "accept-unused"
	AcceptUnbound   Code = "accept-unbound"
	EmptyWord       Code = "empty-word"
	StarterPolicy   Code = "starter"
	DeviceUnnamed   Code = "device-unnamed"
)

// CodeInfo describes a code.
type CodeInfo struct {
	Code       Code
	Level      Level // the more severe one, if there are two
	Acceptable bool  // a named person may accept the error: see [Acceptance]
	Meaning    string
}

// Codes are all codes, in the order in which README lists them.
var Codes = []CodeInfo{
	{Unreadable, Error, false, "a value of the row cannot be read"},
	{VoltageTooLow, Error, true, "under 50 V, but with the current, energy or equipment of a higher voltage: kilovolts in the volts column?"},
	{VoltageUnusual, Error, true, "ac3 from 50 to 199 V, or 277 or 347 V: kilovolts, or phase to neutral?"},
	{CurrentTooHigh, Error, true, "a current or rating above 300 kA: amperes in the kA column?"},
	{CurrentTooLow, Error, true, "an ac3 fault current under 0.1 kA: kiloamperes in the A column?"},
	{DurationTooShort, Error, true, "an arc duration under 8 ms; above 1 kV under 33 ms is a caution: seconds or cycles in the ms column?"},
	{DistanceUnusual, Error, true, "an unlikely working distance: another unit?"},
	{DistanceExponent, Error, true, "energy and boundary contradict each other: by no published method does energy fall that way with distance"},
	{Understated, Error, true, "the study states less than what is recomputed or proven; an acceptance does not change that: the label still prints the larger"},
	{OpenAirInEnclosure, Error, true, "open air, although the row says that there is an enclosure"},
	{DeviceNotUpstream, Error, true, "the device that clears the arc is not upstream; only one across a tie can be accepted"},
	{OverRating, Error, true, "more fault current than the equipment is rated for; an acceptance does not make it safe: the label then states both"},
	{OverInterrupting, Error, true, "more fault current than the device can interrupt; a named person may accept a series rating (NEC 240.86)"},
	{FaultBeyondSource, Error, true, "more fault current than all sources upstream can supply"},
	{FaultBelowTrafo, Caution, false, "much less fault current than the transformer's nameplate lets through"},
	{SourceLimited, Caution, false, "a short duration by a fuse or breaker, but a limited source that may never make it clear"},
	{Frequency, Error, false, "neither 50 nor 60 Hz: nothing is recomputed; to print the study's own number, set method = stated"},
	{ApproachTooNear, Error, true, "an owner's approach row nearer than the row below it"},
	{NoFeeds, Caution, false, "no fed_from, and not listed among the site's sources: no change upstream can reach it"},
	{ReducedClearsSooner, Caution, false, "the reduced current is given a shorter duration than the full one"},
	{OldMethod, Caution, false, "results by IEEE 1584-2002 or an older edition"},
	{EditionUnknown, Caution, false, "an edition whose tables the program does not hold"},
	{WearUntranslated, Caution, false, "a language of the site for which the chosen kit has no list"},
	{SurveyAlone, Error, true, "newer dates without recalculated numbers, or without the values that a change gave; a caution while the label holds"},
	{BoundBelowCutoff, Error, false, "the study says only that the energy is above a value that is below the cutoff"},
	{MaintenanceWorse, Error, false, "the case with the maintenance switch on is worse than the normal one"},
	{MaintenanceAlone, Error, false, "a case with the maintenance switch on, but no normal one"},
	{MaintenancePartial, Caution, false, "no case with the maintenance switch on covers the fault current of the normal ones"},
	{MaintenanceUnnamed, Error, false, "a DANGER label that depends on a maintenance switch that no row names"},
	{NoResults, Error, false, "no energy or boundary is stated, and none could be recomputed"},
	{NotAccepted, Error, false, "no energy or boundary is stated, and nobody has accepted the recomputed one (accepted_by)"},
	{Overstated, Caution, false, "the study states more than what is recomputed"},
	{NotRecomputable, Caution, false, "the row's method cannot recompute the result, because inputs are missing or outside its limits"},
	{MethodUnfit, Error, false, "a method that does not apply to this supply or voltage"},
	{MayNotClear, Error, false, "the arcing current is below the device's clearing curve"},
	{CurveSlower, Caution, false, "the curve gives a longer time than the row"},
	{TypicalValues, Caution, false, "geometry taken from the typical values of the class"},
	{MethodLimits, Caution, false, "inputs at or beyond a limit that the method itself states"},
	{TwoSecondsCounted, Caution, false, "the arc lasts longer than two seconds; two seconds are used, for the owner's reason"},
	{LongArc, Caution, false, "the arc lasts longer than two seconds"},
	{ReducedGoverns, Caution, false, "the reduced arcing current gives more energy than the full one"},
	{GapUntypical, Caution, false, "a gap that is unusual for the class of equipment"},
	{DistanceUntypical, Caution, false, "a working distance that is unusual for the class of equipment"},
	{BelowFiftyVolts, Caution, false, "below 50 V, where the tables specify no approach boundary"},
	{SmallSource, Caution, false, "240 V or less below 2 kA: a sustained arc is less likely, but possible"},
	{OwnMain, Error, false, "credit for a device in the location's own enclosure"},
	{UnknownFeed, Error, false, "a feed or tie that is not a location of the site"},
	{UnknownPlace, Error, false, "a device at a place that is not a location of the site"},
	{FeedLoop, Error, false, "a circular feed"},
	{ApproachMissing, Error, false, "no approach row covers the voltage"},
	{NoGlove, Error, false, "no class of gloves covers the voltage"},
	{DatedAhead, Error, false, "a study dated after today"},
	{SurveyedAfter, Error, false, "surveyed after the study was prepared"},
	{OlderEditionCode, Caution, false, "the study follows an older edition than the site"},
	{DeviceOverdue, Caution, false, "the maintenance of the device that clears the arc is overdue"},
	{DeviceFailed, Caution, false, "the device that clears the arc failed its maintenance test"},
	{KitAsCategory, Caution, false, "a kit's name looks like a category of the PPE tables"},
	{RungAboveCutoff, Caution, false, "a rung of the ladder is entirely above the cutoff"},
	{EntryAhead, Caution, false, "an entry dated after today, which does not count yet"},
	{EntryUnsigned, Caution, false, "a settlement or a review without a name or a reason, which does not count"},
	{EntryUnnoted, Caution, false, "an entry of changes.toml that the ledger does not note: typed by hand, or from before entries were noted"},
	{EntryLost, Caution, false, "an entry that the ledger notes, and that changes.toml no longer has or has with another text"},
	{LedgerAhead, Caution, false, "lines of the ledger dated after today"},
	{FeedsNotNoted, Caution, false, "labels printed before records noted their feeds: an edit of a row upstream may not reach them"},
	{AcceptUnused, Caution, false, "an [[accept]] without a finding to cover"},
	{AcceptUnbound, Caution, false, "an [[accept]] typed by hand, which is not tied to any numbers"},
	{EmptyWord, Caution, false, "cells that say N/A or similar and count as empty"},
	{StarterPolicy, Error, false, "the starter's invented policy: only previews can be printed"},
	{DeviceUnnamed, Caution, false, "a device of devices.csv that no row names: if it is overdue or fails, no label shows it"},
}

// Info describes a code; nil for an unknown one.
func (c Code) Info() *CodeInfo { return find(Codes, func(i *CodeInfo) bool { return i.Code == c }) }

// Acceptable reports whether a named person may accept an error of this code.
func (c Code) Acceptable() bool {
	i := c.Info()
	return i != nil && i.Acceptable
}
