package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"syscall"
	"time"
)

// measure runs a command and writes a line to the file descriptor 3: wall time and
// processor time in seconds, and the most memory in MB that one of its processes had.
// Processes that the command leaves behind count, and are waited for.
func measure(command []string) error {
	const prSetChildSubreaper = 36 // prctl(2): orphans become children of this process
	if _, _, errno := syscall.RawSyscall(syscall.SYS_PRCTL, prSetChildSubreaper, 1, 0); errno != 0 {
		return errno
	}
	c := exec.Command(command[0], command[1:]...)
	c.Stderr = os.Stderr
	begin := time.Now()
	if err := c.Run(); err != nil {
		return fmt.Errorf("%s: %w", command[0], err)
	}
	wall := time.Since(begin)
	for {
		_, err := syscall.Wait4(-1, nil, 0, nil)
		if errors.Is(err, syscall.ECHILD) {
			break
		}
		if err != nil && !errors.Is(err, syscall.EINTR) {
			return err
		}
	}
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &used); err != nil {
		return err
	}
	cpu := time.Duration(used.Utime.Nano() + used.Stime.Nano())
	_, err := fmt.Fprintf(os.NewFile(3, "figures"), "%.3f\t%.3f\t%d\n", wall.Seconds(), cpu.Seconds(), used.Maxrss>>10)
	return err
}
