//go:build unix

package runs

import (
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// openLock opens the lock file of a folder, and makes it where there is none. A
// symbolic link is not followed.
func openLock(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|unix.O_NOFOLLOW|unix.O_NONBLOCK, 0o666)
	if err != nil {
		return nil, err
	}
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		f.Close()
		return nil, fmt.Errorf("%v, want a regular file", info.Mode().Type())
	}
	return f, nil
}

// openFolder opens the folder itself, to be locked too: its lock file may be
// removed and made anew.
func openFolder(dir string) (*os.File, error) { return os.Open(dir) }

// lock takes the file for this process without waiting; the system releases
// it when the file is closed or the process ends, however it ends.
func lock(f *os.File) (taken bool, err error) {
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if err == unix.EWOULDBLOCK {
		return false, nil
	}
	return err == nil, err
}
