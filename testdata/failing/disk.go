// Package failing puts a disk in the place of file.System that fails at one call, for
// tests of what a failure leaves behind. Start from Each.
package failing

import (
	"errors"
	"io/fs"
	"strings"
	"testing"

	"ullage/output/file"
)

// Err is what a failing call errs with, in an error of the file system that names a
// file nobody asked for.
var Err = errors.New("the disk fails")

// A disk fails once, at a call of that number from 1, and does all others. Of a file
// that it cannot write it has written half.
type disk struct {
	file.Disk
	at, calls int
	failed    string // the name of the call
}

func (d *disk) fails(call string) error {
	if d.calls++; d.calls != d.at {
		return nil
	}
	d.failed = call
	return &fs.PathError{Op: call, Path: "a temporary name", Err: Err}
}

func (d *disk) Create(path string) (file.Sink, error) {
	if err := d.fails("create"); err != nil {
		return nil, err
	}
	s, err := d.Disk.Create(path)
	return sink{s, d}, err
}

func (d *disk) Rename(from, to string) error {
	return instead(d.fails("rename"), func() error { return d.Disk.Rename(from, to) })
}

func (d *disk) SyncFolder(dir string) error {
	return instead(d.fails("sync folder"), func() error { return d.Disk.SyncFolder(dir) })
}

func (d *disk) Remove(path string) error {
	if strings.HasSuffix(path, ".tmp") {
		return d.Disk.Remove(path) // it tidies up after another failure
	}
	return instead(d.fails("remove"), func() error { return d.Disk.Remove(path) })
}

func (d *disk) MakeFolders(dir string) error {
	return instead(d.fails("make folders"), func() error { return d.Disk.MakeFolders(dir) })
}

func (d *disk) MakeFolder(dir string) error {
	return instead(d.fails("make folder"), func() error { return d.Disk.MakeFolder(dir) })
}

func instead(err error, do func() error) error {
	if err != nil {
		return err
	}
	return do()
}

type sink struct {
	file.Sink
	disk *disk
}

func (s sink) Write(data []byte) (int, error) {
	if err := s.disk.fails("write"); err != nil {
		n, _ := s.Sink.Write(data[:len(data)/2])
		return n, err
	}
	return s.Sink.Write(data)
}

func (s sink) Sync() error { return instead(s.disk.fails("sync"), s.Sink.Sync) }

func (s sink) Close() error { return errors.Join(s.Sink.Close(), s.disk.fails("close")) }

// Each does something on a disk that fails at its first call, at its second and
// so on, until none fails, and gives check what came of each. It returns the names
// of the calls that failed.
func Each(t testing.TB, do func() error, check func(failed string, err error)) (calls []string) {
	t.Helper()
	sound := file.System
	defer func() { file.System = sound }()
	for at := 1; ; at++ {
		d := &disk{Disk: sound, at: at}
		file.System = d
		err := do()
		file.System = sound
		if d.failed == "" {
			if err != nil {
				t.Fatalf("on a sound disk: %v", err)
			}
			return calls
		}
		calls = append(calls, d.failed)
		check(d.failed, err)
	}
}
