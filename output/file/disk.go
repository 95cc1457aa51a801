package file

import (
	"io"
	"os"
)

// A Disk is what the program asks of the operating system to change files.
type Disk interface {
	Create(path string) (Sink, error) // a file of a name that nothing has
	Rename(from, to string) error
	Remove(path string) error
	SyncFolder(dir string) error  // makes the names in a folder last
	MakeFolder(dir string) error  // that is not there yet
	MakeFolders(dir string) error // and those above it, where they are not there
}

// A Sink is a file that is being written.
type Sink interface {
	io.WriteCloser
	Sync() error
}

// System is the disk that everything is written to. Tests put one in its place
// that fails.
var System Disk = disk{}

type disk struct{}

func (disk) Create(path string) (Sink, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (disk) Rename(from, to string) error { return os.Rename(from, to) }
func (disk) Remove(path string) error     { return os.Remove(path) }
func (disk) SyncFolder(dir string) error  { return syncFolder(dir) }
func (disk) MakeFolder(dir string) error  { return os.Mkdir(dir, 0o777) }
func (disk) MakeFolders(dir string) error { return os.MkdirAll(dir, 0o777) }
