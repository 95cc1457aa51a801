//go:build unix

package file

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// syncFolder makes a rename in the folder last.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	err = f.Sync()
	// Some network file systems cannot sync a folder, and say so.
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		return nil
	}
	return err
}
