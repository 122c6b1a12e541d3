//go:build !windows

package suite

import (
	"syscall"
	"time"
)

// CPU is the processor time of this process so far, user and system.
func CPU() time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		panic(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
