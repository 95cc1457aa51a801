package file_test

import (
	"os"
	"path/filepath"
	"testing"

	"ullage/output/file"
)

func TestReadIsBounded(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "f")
	if err := os.WriteFile(path, []byte("12345"), 0o666); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "link")
	if err := os.Symlink(path, link); err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{path, link} {
		if got, err := file.Read(p, 5); err != nil || string(got) != "12345" {
			t.Errorf("Read of 5 bytes, at most 5 = %q, %v", got, err)
		}
	}
	huge := filepath.Join(dir, "huge")
	if err := os.WriteFile(huge, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(huge, 8<<30); err != nil { // without blocks on the disk
		t.Fatal(err)
	}
	for p, want := range map[string]string{
		huge:                       "8589934592 bytes, want at most 4",
		path:                       "5 bytes, want at most 4",
		dir:                        "a folder, want a regular file",
		os.DevNull:                 "a device or a pipe, want a regular file",
		filepath.Join(dir, "none"): "no such file or directory",
	} {
		if _, err := file.Read(p, 4); err == nil || err.Error() != "read "+p+": "+want {
			t.Errorf("Read of %s = %v, want %s", p, err, want)
		}
	}
}
