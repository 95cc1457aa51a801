//go:build linux || darwin

package file

import (
	"fmt"

	"golang.org/x/sys/unix"
)

// Room returns the bytes that may still be written to the disk that holds dir, a
// folder that exists. It errs where the system does not say.
func Room(dir string) (uint64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return 0, fmt.Errorf("room in %s: %w", dir, err)
	}
	return s.Bavail * uint64(s.Bsize), nil
}
