// Package browser gives tests pages in real browsers, Chromium and Firefox, and on
// paper.
package browser

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Hostile is a title that breaks out of every place of a page that forgets to
// escape it.
const Hostile = `</title></script><img src=x onerror=alert(1)>{{.}}'"&`

// Program returns the path of a program that a test needs. Where it is absent
// the test is skipped, and with CI=true it fails.
func Program(t testing.TB, debian string, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	line := fmt.Sprintf("%s: not installed, want apt-get install %s", names[0], debian)
	if os.Getenv("CI") == "true" {
		t.Fatal(line)
	}
	t.Skip(line)
	return ""
}

func chromium(t testing.TB) string {
	t.Helper()
	return Program(t, "chromium", "chromium", "chromium-browser")
}

// Printed prints a page as a browser does, and returns the path of the PDF.
func Printed(t testing.TB, name string, page []byte) string {
	t.Helper()
	browser := chromium(t)
	dir := t.TempDir()
	html, pdf := filepath.Join(dir, name), filepath.Join(dir, name+".pdf")
	if err := os.WriteFile(html, page, 0o666); err != nil {
		t.Fatal(err)
	}
	// Without its sandbox it runs as root too; the page is ours.
	cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(dir, "profile"),
		"--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+html)
	if text, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", browser, err, text)
	}
	return pdf
}
