//go:build unix

package cache

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock waits for the file at path to be ours; a process that dies lets it go.
func lock(path string) (unlock func() error, err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX); err != nil {
		f.Close()
		return nil, err
	}
	return f.Close, nil
}
