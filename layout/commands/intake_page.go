package commands

import (
	"fmt"

	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// page writes what a restudy changes as a PDF.
func (s *studied) page(file string, paper layout.Paper) error {
	pdf, err := press.RestudyPDF(s.Restudy, s.Stored, s.policy, paper)
	if err != nil {
		return err
	}
	ready, err := record.PreparePDF(file, pdf)
	if err != nil {
		return fmt.Errorf("%w; the page was not written", err)
	}
	return ready.Commit()
}
