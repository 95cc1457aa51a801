//go:build unix

package runs

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock takes the file for this process without waiting; the system releases
// it when the file is closed or the process ends, however it ends.
func lock(f *os.File) (taken bool, err error) {
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if err == unix.EWOULDBLOCK {
		return false, nil
	}
	return err == nil, err
}
