package file

import (
	"fmt"
	"io"
	"os"
)

// Open opens a regular file of at most that many bytes for reading. A device, a
// pipe, which might never answer, and a longer file are refused. The error
// names path.
func Open(path string, most int64) (*os.File, error) {
	f, err := open(path, most)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, Cause(err))
	}
	return f, nil
}

func open(path string, most int64) (*os.File, error) {
	// Asked before it is opened, for to open a pipe may take for ever.
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s, want a regular file", kind(info.Mode()))
	}
	if info.Size() > most {
		return nil, tooLong(info.Size(), most)
	}
	return os.Open(path)
}

// Read returns the bytes of a file that Open does not refuse, and refuses one that
// grows beyond that many while it is read. It errs as Open does too; the error
// names path.
func Read(path string, most int64) ([]byte, error) {
	f, err := Open(path, most)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = tooLong(int64(len(data)), most)
	}
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, Cause(err))
	}
	return data, nil
}

func tooLong(size, most int64) error { return fmt.Errorf("%d bytes, want at most %d", size, most) }
