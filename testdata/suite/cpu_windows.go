package suite

import (
	"syscall"
	"time"
)

// CPU is the processor time of this process so far, user and system.
func CPU() time.Duration {
	p, err := syscall.GetCurrentProcess()
	if err != nil {
		panic(err)
	}
	var created, ended, kernel, user syscall.Filetime
	if err := syscall.GetProcessTimes(p, &created, &ended, &kernel, &user); err != nil {
		panic(err)
	}
	spent := func(t syscall.Filetime) time.Duration { // in steps of 100 ns, as two halves
		return 100 * time.Duration(uint64(t.HighDateTime)<<32|uint64(t.LowDateTime))
	}
	return spent(kernel) + spent(user)
}
