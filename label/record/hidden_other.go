//go:build !linux

package record

import (
	"errors"
	"os"
)

// openHidden would open a file without a name: only Linux has such files.
func openHidden(string) (*os.File, error) { return nil, errors.ErrUnsupported }

func linkHidden(*os.File, string) error { return errors.ErrUnsupported }
