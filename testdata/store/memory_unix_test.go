//go:build unix

package store_test

import (
	"os"
	"syscall"
)

// maxMemory is the most memory that a process had, in bytes.
func maxMemory(of *os.ProcessState) int64 { return of.SysUsage().(*syscall.Rusage).Maxrss * 1024 }
