package file

import (
	"fmt"

	"golang.org/x/sys/windows"
)

// Room returns the bytes that may still be written to the disk that holds dir, a
// folder that exists. It errs where the system does not say.
func Room(dir string) (uint64, error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, fmt.Errorf("room in %s: %w", dir, err)
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(name, &free, nil, nil); err != nil {
		return 0, fmt.Errorf("room in %s: %w", dir, err)
	}
	return free, nil
}
