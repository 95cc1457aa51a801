// Package javascript gives tests a Parquet reader written in JavaScript and the
// rules of axe-core for pages that everyone can use, at the versions pinned in
// package-lock.json. It installs them into the user's cache folder on first use.
package javascript

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"ullage/testdata/cache"
)

//go:embed package.json
var manifest []byte

//go:embed package-lock.json
var pinned []byte

//go:embed read_table.mjs
var script []byte

const (
	scriptName = "read_table.mjs"
	install    = "install Node 20 or later with npm (Debian: apt-get install nodejs npm)"
)

// ReadTable decodes into out the JSON that read_table.mjs prints of the Parquet
// file at path. Where there is no node or npm it skips the test, saying what to
// install; with CI=true it fails instead.
func ReadTable(t testing.TB, path string, out any) {
	t.Helper()
	dir := installed(t)
	var complaint bytes.Buffer
	cmd := exec.Command("node", filepath.Join(dir, scriptName), path)
	cmd.Stderr = &complaint
	answer, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", scriptName, path, err, &complaint)
	}
	if err := json.Unmarshal(answer, out); err != nil {
		t.Fatalf("%s %s: %v", scriptName, path, err)
	}
}

// Axe returns the script of axe-core, for a page to run. Where there is no node
// or npm it skips the test as ReadTable does.
func Axe(t testing.TB) string {
	t.Helper()
	source, err := os.ReadFile(filepath.Join(installed(t), "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(source)
}

// installed returns the folder of the packages, or skips the test.
func installed(t testing.TB) string {
	t.Helper()
	for _, tool := range []string{"node", "npm"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s: not found; %s", tool, install)
			}
			t.Skipf("%s: not found; %s", tool, install)
		}
	}
	dir, err := folder()
	if err != nil {
		t.Fatalf("%v; %s", err, install)
	}
	return dir
}

var folder = sync.OnceValues(func() (string, error) {
	return cache.Folder("node", slices.Concat(manifest, pinned, script), func(dir string) error {
		err := errors.Join(
			os.WriteFile(filepath.Join(dir, "package.json"), manifest, 0o666),
			os.WriteFile(filepath.Join(dir, "package-lock.json"), pinned, 0o666),
			os.WriteFile(filepath.Join(dir, scriptName), script, 0o666),
		)
		if err != nil {
			return err
		}
		// Scripts of packages are left out: nothing here needs to be built.
		npm := exec.Command("npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund")
		npm.Dir = dir
		if out, err := npm.CombinedOutput(); err != nil {
			return fmt.Errorf("npm ci: %w\n%s", err, out)
		}
		return nil
	})
})
