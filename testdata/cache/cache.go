// Package cache keeps what tests need and is slow to make (interpreters with
// their libraries) in the user's cache folder, made once and shared by test
// packages that run side by side.
package cache

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
)

// Folder returns a folder that fill has filled, one for each name and content
// of its recipe. Under a lock it calls fill with an empty folder unless that
// has succeeded before.
func Folder(name string, recipe []byte, fill func(dir string) error) (string, error) {
	user, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(user, "ullage", fmt.Sprintf("%s-%.8x", name, sha256.Sum256(recipe)))
	if err := os.MkdirAll(filepath.Dir(dir), 0o777); err != nil {
		return "", err
	}
	unlock, err := lock(dir + ".lock")
	if err != nil {
		return "", err
	}
	defer unlock()

	// Written last: a folder that was cut short has no such file.
	ready := filepath.Join(dir, "ready")
	if _, err := os.Stat(ready); err == nil {
		return dir, nil
	}
	if err := os.RemoveAll(dir); err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return "", err
	}
	if err := fill(dir); err != nil {
		return "", err
	}
	return dir, os.WriteFile(ready, nil, 0o666)
}
