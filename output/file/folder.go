package file

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
)

// WriteFolder makes a new folder that holds files, given by name: whatever
// happens, all of them or none. The error names the folder or the file; one that
// is there already, and be it empty, is refused.
func WriteFolder(dir string, files map[string][]byte) error {
	dir = filepath.Clean(dir)
	if _, err := os.Lstat(dir); err == nil {
		return fmt.Errorf("%s: there already, want a new folder", dir)
	}
	temporary := temporaryName(dir)
	if err := System.MakeFolder(temporary); err != nil {
		return fmt.Errorf("create %s: %w", dir, Cause(err))
	}
	if err := fill(temporary, dir, files); err != nil {
		for name := range files {
			_ = System.Remove(filepath.Join(temporary, name)) // most are not there
		}
		_ = System.Remove(temporary)
		return err
	}
	if err := System.SyncFolder(filepath.Dir(dir)); err != nil {
		return fmt.Errorf("create %s: %w", dir, Cause(err))
	}
	return nil
}

// fill writes files into a temporary folder and gives it its name.
func fill(temporary, dir string, files map[string][]byte) error {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := replace(filepath.Join(temporary, name), giving(files[name])); err != nil {
			return fmt.Errorf("write %s: %w", filepath.Join(dir, name), Cause(err))
		}
	}
	if err := System.Rename(temporary, dir); err != nil {
		return fmt.Errorf("create %s: %w", dir, Cause(err))
	}
	return nil
}
