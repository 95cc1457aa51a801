package file

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// Write writes data beside path, syncs it and renames it: whatever
// happens, path holds all of the old bytes or all of the new. The error names
// path, and leaves nothing behind. A path that is anything but a regular file
// (a device, a symbolic link) is refused, because the rename would replace it.
func Write(path string, data []byte) error {
	return Stream(path, giving(data))
}

func giving(data []byte) func(w io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// Stream writes what give writes to path, as Write does. Where give errs nothing
// is written.
func Stream(path string, give func(w io.Writer) error) error {
	if err := replace(path, give); err != nil {
		return fmt.Errorf("write %s: %w", path, Cause(err))
	}
	return nil
}

func replace(path string, give func(w io.Writer) error) error {
	if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s, want a regular file", kind(info.Mode()))
	}
	temporary := temporaryName(path)
	f, err := System.Create(temporary)
	if err != nil {
		return err
	}
	if err = give(f); err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = System.Rename(temporary, path)
	}
	if err != nil {
		return errors.Join(err, System.Remove(temporary))
	}
	return System.SyncFolder(filepath.Dir(path))
}

// temporaryName returns where a file is written before it has its name.
func temporaryName(path string) string {
	dir, name := filepath.Split(path)
	return filepath.Join(dir, fmt.Sprintf(".%s.%08x.tmp", name, rand.Uint32()))
}

// kind names what is not a regular file.
func kind(mode fs.FileMode) string {
	switch mode.Type() {
	case fs.ModeDir:
		return "a folder"
	case fs.ModeSymlink:
		return "a symbolic link"
	}
	return "a device or a pipe"
}

// Cause returns the error within one of the file system, without the name of the
// temporary file, which tells the reader nothing; any other error as it is.
func Cause(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
