//go:build !linux

package publish

import (
	"errors"
	"os"
)

func wholeDisk(*os.Root) *os.File { return nil }

func openBelow(*os.File, string) *os.File { return nil }

func syncDisk(*os.File) error { return errors.ErrUnsupported }
