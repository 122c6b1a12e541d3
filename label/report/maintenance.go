package report

import (
	"vouchmark/assess"
	"vouchmark/label"
)

// Maintenance is what holds only with the maintenance switch on, for a program.
type Maintenance struct {
	EnergyCal       assess.CalCM2     `json:"energy_cal_cm2"`
	EnergyBound     *assess.Bound     `json:"energy_bound"`
	EnergyPrinted   string            `json:"energy_printed"`
	BoundaryMM      assess.MM         `json:"boundary_mm"`
	BoundaryPrinted string            `json:"boundary_printed"`
	Kit             *string           `json:"kit"`
	KitStatus       *assess.KitStatus `json:"kit_status"`
	Signal          assess.Signal     `json:"signal"`
	Device          *string           `json:"device"`
	DeviceAt        *string           `json:"device_at"`
	OnLabel         bool              `json:"on_label"` // else only on pages: see Policy.MaintenanceOnPage
}

// NewMaintenance is nil if no case has the switch on.
func NewMaintenance(in *assess.Inputs, o *assess.Outcome) *Maintenance {
	m := o.Maintenance
	if m == nil {
		return nil
	}
	u := in.Policy.Units
	return &Maintenance{
		EnergyCal: m.Energy.Value, EnergyBound: Given(m.Energy.Bound), EnergyPrinted: energyPrinted(label.EnergyOf(m.Energy, u)),
		BoundaryMM: m.Boundary.Value, BoundaryPrinted: label.Length(m.BoundaryToPrint, m.BoundaryToPrint, u),
		Kit: Given(m.Kit), KitStatus: Given(m.Status), Signal: m.Signal, Device: Given(m.Device), DeviceAt: Given(m.DeviceAt),
		OnLabel: m.Permits() && !in.Policy.MaintenanceOnPage,
	}
}
