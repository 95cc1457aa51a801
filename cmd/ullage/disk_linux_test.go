package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"ullage/testdata/browser"
	"ullage/testdata/program"
)

// fullDisk searches where files can grow to $2 blocks, or all of them together,
// keeps what it says, makes room, and resumes. fullDisk ends with 77 where it
// may not mount.
const fullDisk = `
search() { ullage search "$0" -o "$1/run" -q --workers 1 --resume 2>"$1.said"; echo $? >"$1.code"; }
case $3 in
limit) ( trap '' XFSZ; ulimit -f "$2"; search "$@" );;
tmpfs) mount -t tmpfs -o "size=$((4 * $2))k" none "$1" || exit 77
	search "$@"; mount -o remount,size=64m "$1";;
ro) mount -t tmpfs none "$1" && mount -o remount,ro "$1" || exit 77
	search "$@"; mount -o remount,rw "$1";;
esac
ullage search "$0" -o "$1/run" -q --resume && cp -r "$1/run" "$1.out"
`

// TestDiskFull runs a search on disks that are full after ever more bytes, and
// on one that is read only. It ends with code 1 and the name of the file, and
// what was written lets it go on to the same bytes as on a large disk.
func TestDiskFull(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	whole := filepath.Join(t.TempDir(), "whole")
	if out, err := exec.Command("ullage", "search", b, "-o", whole, "-q").CombinedOutput(); err != nil {
		t.Fatalf("search: %v: %s", err, out)
	}
	stride := 4
	if program.Thorough() {
		stride = 1
	}
	for kind, cause := range map[string]string{
		"limit": "file too large", "tmpfs": "no space left on device", "ro": "read-only file system",
	} {
		t.Run(kind, func(t *testing.T) {
			if kind != "limit" {
				browser.Program(t, "util-linux", "unshare")
				browser.Program(t, "mount", "mount")
			}
			failed := 0
			for blocks := 1; ; blocks += max(1, blocks*stride/2) {
				dir := filepath.Join(t.TempDir(), "disk")
				if err := os.Mkdir(dir, 0o777); err != nil {
					t.Fatal(err)
				}
				c := exec.Command("sh", "-c", fullDisk, b, dir, strconv.Itoa(blocks), kind)
				if kind != "limit" {
					c = exec.Command("unshare", append([]string{"-rm"}, c.Args...)...)
				}
				out, err := c.CombinedOutput()
				code, readErr := os.ReadFile(dir + ".code")
				if readErr != nil && kind != "limit" {
					t.Skipf("no mounts in a namespace of one's own here: %v: %s", err, out)
				}
				if err != nil {
					t.Fatalf("%d blocks, with room: %v: %s", blocks, err, out)
				}
				program.SameRun(t, dir+".out", whole)
				if string(code) == "0\n" {
					break
				}
				said, _ := os.ReadFile(dir + ".said")
				want := `(?m)^(create|write|remove|lock) ` + regexp.QuoteMeta(dir) + `/run\S*: ` + cause + `$`
				if string(code) != "1\n" || !regexp.MustCompile(want).Match(said) {
					t.Fatalf("%d blocks: code %s, %s, want 1 and %s", blocks, code, said, want)
				}
				if failed++; kind == "ro" {
					break
				}
			}
			if t.Logf("failed %d times", failed); failed == 0 {
				t.Error("the disk was never full")
			}
		})
	}
}
