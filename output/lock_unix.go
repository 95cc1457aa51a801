//go:build unix

package output

import (
	"errors"
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

// syncFolder makes a rename in the folder last.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	// Some network file systems cannot sync a folder, and say so.
	if err := f.Sync(); err != nil && !errors.Is(err, unix.EINVAL) && !errors.Is(err, unix.ENOTSUP) {
		return err
	}
	return nil
}
