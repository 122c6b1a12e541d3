package record

import (
	"context"
	"errors"
	"io"
	"os"
	"time"

	"golang.org/x/sys/windows"
)

// lockFile waits for the lock on a file, which it makes where there is none. Windows keeps
// everybody else from reading the bytes that are locked, so one byte far beyond the end is
// locked: the file stays readable, and a lock of the whole file from another system excludes
// this one.
func lockFile(ctx context.Context, path string) (io.Closer, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, err
	}
	at := windows.Overlapped{OffsetHigh: 1 << 30}
	for {
		err = windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &at)
		switch {
		case err == nil:
			return f, nil
		case !errors.Is(err, windows.ERROR_LOCK_VIOLATION) && !errors.Is(err, windows.ERROR_IO_PENDING):
			return nil, errors.Join(err, f.Close())
		}
		select {
		case <-ctx.Done():
			return nil, errors.Join(ctx.Err(), f.Close())
		case <-time.After(lockAgain):
		}
	}
}
