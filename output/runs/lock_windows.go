package runs

import (
	"os"

	"golang.org/x/sys/windows"
)

// openLock opens the lock file of a folder, and makes it where there is none.
func openLock(path string) (*os.File, error) { return os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666) }

// openFolder returns no file: a lock file that is open cannot be removed here.
func openFolder(string) (*os.File, error) { return nil, nil }

// lock takes the file for this process without waiting; the system releases
// it when the file is closed or the process ends, however it ends.
func lock(f *os.File) (taken bool, err error) {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{})
	if err == windows.ERROR_LOCK_VIOLATION {
		return false, nil
	}
	return err == nil, err
}
