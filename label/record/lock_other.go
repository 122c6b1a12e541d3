//go:build !windows

package record

import (
	"context"
	"io"
	"os"

	"github.com/gofrs/flock"
)

// lockFile waits for the lock on a file, which it makes where there is none. It is flock(2):
// over NFS and SMB, Linux turns it into a lock of the whole file.
func lockFile(ctx context.Context, path string) (io.Closer, error) {
	lock := flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o644))
	_, err := lock.TryLockContext(ctx, lockAgain)
	return lock, err
}
