package assess

// A case with an arc-reducing maintenance switch on (NEC 240.87) governs nothing: its
// energy is valid only with the switch on, and the label shows it on a second line.

// settleMaintenance finds the worst of the cases with the switch on.
func (a *Assessment) settleMaintenance() {
	e, b := a.govern(true)
	if e.Value == 0 || b.Value == 0 {
		return
	}
	m := &Maintenance{Energy: e, Boundary: b, BoundaryToPrint: boundaryToPrint(e, b.Value, a.Location.Distance)}
	m.Signal, m.Status, m.Kit = a.Policy.ChooseFor(e)
	if c := a.Location.CaseNamed(e.Case); c != nil {
		m.Device, m.DeviceAt = c.Device, c.DeviceAt
	}
	a.Maintenance = m
}

// checkMaintenance finds a case with the switch on that has no matching normal case,
// or is worse than that.
func (a *Assessment) checkMaintenance() {
	var on *Case
	normal := false
	var most, mostOn KA // fault current with the switch off and on
	for i := range a.Location.Cases {
		c := &a.Location.Cases[i]
		switch {
		case !c.Maintenance:
			normal, most = true, max(most, c.Fault)
		case on == nil:
			on, mostOn = c, c.Fault
		default:
			mostOn = max(mostOn, c.Fault)
		}
	}
	m := a.Maintenance
	if on != nil && mostOn < most*(1-1e-9) {
		a.cautionf(on.Line, MaintenancePartial, "fault_ka", "with the maintenance switch on the study covers only %.4g kA, but up to %.4g kA is "+
			"available: the energy is not known in every condition; ask the engineer of the study for results with the switch on in each of them",
			mostOn, most)
	}
	if m != nil && m.Permits() && a.Signal == Danger && (m.Device == "" || m.DeviceAt == "") {
		a.errorf(on.Line, MaintenanceUnnamed, "device", "above the cutoff, work depends on the maintenance switch alone, but the row does not name "+
			"its device and place (device, device_at): a label that says NO ENERGIZED WORK unless it is ON must say which")
	}
	switch {
	case on == nil:
	case !normal:
		a.errorf(on.Line, MaintenanceAlone, "mode", "there is a result only with the maintenance switch on; "+
			"add the row with the switch off, which governs the label")
	case m == nil: // another finding says what is missing
	case m.Energy.Value > a.Energy.Value || m.Energy.Bound == Above && a.Energy.Bound != Above:
		a.errorf(on.Line, MaintenanceWorse, "energy_cal_cm2", "%s with the maintenance switch on, but %s with it off; "+
			"the two rows may be mixed up; ask the engineer of the study", a.energy(m.Energy.Value, 4), a.energy(a.Energy.Value, 4))
	case m.Boundary.Value > a.Boundary.Value:
		a.errorf(on.Line, MaintenanceWorse, "boundary_in", "a boundary of %s with the maintenance switch on, but %s with it off; "+
			"the two rows may be mixed up; ask the engineer of the study",
			a.length(m.Boundary.Value, 4), a.length(a.Boundary.Value, 4))
	}
}
