package site

import (
	"fmt"
	"math"

	"vouchmark/assess"
)

// The columns of devices.csv: protective devices, and when each was last maintained. device and
// at are spelled as in the columns device and device_at of locations.csv.
//
//	device,at,maintained,interval_months,result,by,note
//	breaker 2,SWB-1,2025-06-10,36,passed,"Example Testing",
//
// A date needs a result and a result needs a date.
var deviceColumns = []assess.Column{
	{Name: "device", Kind: assess.Text, Prose: true, Needed: true},
	{Name: "at", Kind: assess.Text, Longest: 40, Needed: true},
	{Name: "maintained", Kind: assess.Day},
	{Name: "interval", Kind: assess.Quantity, Units: []assess.Unit{{Suffix: "months", Factor: 1}}},
	{Name: "result", Kind: assess.Choice, Choices: []string{devicePassed, deviceFailed}},
	{Name: "by", Kind: assess.Text},
	{Name: "note", Kind: assess.Text, Longest: kindNote.longest, Prose: true},
}

const devicePassed, deviceFailed = "passed", "failed"

// longestInterval is longer than any device waits for maintenance, in months.
const longestInterval = 600

// readDevices reads devices.csv. A site without one records no maintenance.
func (r *reader) readDevices() {
	t := r.readTable(assess.DevicesFile, func() {})
	if t == nil {
		return
	}
	t.whole = true
	if !t.matchOwn(deviceColumns, nil) {
		return
	}
	first := map[string]int{} // line of each device
	for _, t.row = range t.rows {
		if t.row.cells() > len(t.columns) {
			t.fault("", fmt.Sprintf("%d cells", t.row.cells()),
				fmt.Sprintf("%d, as in the heading line", len(t.columns)),
				"put a text that contains the delimiter in quotation marks")
			continue // it is unclear which cell is which
		}
		d := t.device()
		if d.Name == "" || d.At == "" {
			continue
		}
		_, listed := r.listed[d.At]
		t.faultIf(!listed && len(r.listed) > 0, "at", quote(d.At), "the id of a location in "+locationsFile,
			"name the location where the device is installed, as in the column device_at")
		line, twice := first[d.Key()]
		t.faultIf(twice, "device", quote(d.Name), "each device once at a place",
			fmt.Sprintf("line %d already has it at %s; keep only its last maintenance", line, d.At))
		if !twice {
			first[d.Key()] = d.Line
			r.site.Devices = append(r.site.Devices, d)
		}
	}
}

// device is the device of the row being read.
func (t *table) device() assess.Device {
	column := func(name string) (*assess.Column, int) {
		c, _ := columnOf(deviceColumns, name)
		return c.Column, t.at(name)
	}
	for _, c := range deviceColumns {
		t.faultIf(c.Needed && t.cell(c.Name) == "", c.Name, "an empty cell", "text",
			"name the device, and the location where it is installed")
	}
	months := t.number("interval")
	t.faultIf(months != math.Trunc(months) || months > longestInterval, "interval", quote(t.cell("interval")),
		fmt.Sprintf("a whole number of months from 1 to %d", longestInterval),
		"leave the cell empty if there is no interval")
	t.faultIf(t.cell("maintained") != "" && t.cell("result") == "", "result", "an empty cell",
		devicePassed+" or "+deviceFailed, "a device counts as maintained only with a result")
	t.faultIf(t.cell("result") != "" && t.cell("maintained") == "", "maintained", "an empty cell", "the date of the result",
		"a result counts from its date on")
	return assess.Device{ // the texts as they are: [defaults] is for locations.csv
		Name: t.text(column("device")), At: t.text(column("at")),
		Maintained:     t.date("maintained", t.cell("maintained")),
		IntervalMonths: int(months), Failed: t.value(column("result")) == deviceFailed,
		By: t.text(column("by")), Note: t.text(column("note")), Line: t.row.line,
	}
}
