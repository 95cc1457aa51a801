package fleet

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"ullage/optimize"
)

// spooled asks by way of a folder, and returns the job's file as soon as it is
// there.
func spooled(t *testing.T, accept func([]byte) error) (question string, done chan error) {
	t.Helper()
	_, _, j := demo(t)
	folder := t.TempDir()
	j.Leg = &Leg{Settings: settings}
	j.Leg.Settings.Algorithm = optimize.Default
	j.Leg.Island, _ = (&optimize.Island{}).MarshalBinary()
	run := Run{Program: same, Name: "run", Write: writeFile}
	done = make(chan error, 1)
	go func() { done <- run.Spool(folder)(t.Context(), j, accept) }()
	for deadline := time.Now().Add(10 * time.Second); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if files, _ := filepath.Glob(filepath.Join(folder, "*.job")); len(files) == 1 {
			return files[0], done
		}
	}
	t.Fatal("no job in 10 s")
	return "", nil
}

// TestSpool searches by way of a folder.
func TestSpool(t *testing.T) {
	_, p, j := demo(t)
	folder := t.TempDir()
	run := Run{Program: same, Name: "run", Write: writeFile}
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan struct{})
	go func() {
		defer close(over)
		for ctx.Err() == nil {
			files, _ := filepath.Glob(filepath.Join(folder, "*.job"))
			for _, job := range files {
				sealed, err := FlyFile(ctx, job, same)
				if errors.Is(err, fs.ErrNotExist) || ctx.Err() != nil {
					continue
				}
				if err = errors.Join(err, writeFile(AnswerPath(job), sealed)); err != nil {
					t.Error(err)
				}
			}
			time.Sleep(time.Millisecond)
		}
	}()
	got := search(t, p, Epochs(run.Spool(folder), j, settings))
	cancel()
	<-over
	if want := search(t, p, optimize.Local(p, settings, 2)); !reflect.DeepEqual(got, want) {
		t.Error("the outcome differs from that at home")
	}
}

// TestSpoolAnswers puts beside a job what is no answer to it: the wait ends, and
// says which file it is.
func TestSpoolAnswers(t *testing.T) {
	sealed := func(a answer) func(t *testing.T, question, reply string) {
		return func(t *testing.T, question, reply string) {
			data, err := os.ReadFile(question)
			if err != nil {
				t.Fatal(err)
			}
			if a.Key == "" {
				a.Key = key(data)
			}
			if data, err = a.marshal(); err == nil {
				err = writeFile(reply, data)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, c := range []struct {
		why, want string
		put       func(t *testing.T, question, reply string)
	}{
		{"noise", "answer: damaged", func(t *testing.T, _, reply string) { must(t, writeFile(reply, []byte("noise"))) }},
		{"a folder", "a folder, want a regular file", func(t *testing.T, _, reply string) { must(t, os.Mkdir(reply, 0o777)) }},
		{"a link", "a link, want a regular file", func(t *testing.T, question, reply string) { must(t, os.Symlink(question, reply)) }},
		{"a link to nothing", "a link, want a regular file", func(t *testing.T, _, reply string) { must(t, os.Symlink("nowhere", reply)) }},
		{"a file without end", " bytes, want at most ", func(t *testing.T, question, reply string) {
			must(t, os.WriteFile(question+".part", nil, 0o666))
			must(t, os.Truncate(question+".part", 1<<40)) // which takes no room
			must(t, os.Rename(question+".part", reply))
		}},
		{"an answer to another", "an answer to job \"other\", want one to ", sealed(answer{Key: "other"})},
		{"a flaw", "no such wind", sealed(answer{Flaw: "no such wind"})},
		{"no island", "island: damaged", sealed(answer{Body: []byte("no island")})},
	} {
		t.Run(c.why, func(t *testing.T) {
			question, done := spooled(t, func([]byte) error { t.Error("taken for an answer"); return nil })
			c.put(t, question, AnswerPath(question))
			select {
			case err := <-done:
				if err == nil || !strings.HasPrefix(err.Error(), AnswerPath(question)+": ") || !strings.Contains(err.Error(), c.want) {
					t.Errorf("%v, want %s", err, c.want)
				}
			case <-time.After(10 * time.Second):
				t.Fatal("the wait does not end")
			}
			if _, err := os.Lstat(AnswerPath(question)); err != nil {
				t.Errorf("what lay there is gone: %v", err)
			}
		})
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestFilesToRead holds how much is read of which file.
func TestFilesToRead(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "file"), filepath.Join(dir, "link")
	must(t, os.WriteFile(path, []byte("0123456789"), 0o666))
	must(t, os.Symlink(path, link))
	for _, c := range []struct {
		read func(string, int64) ([]byte, error)
		path string
		most int64
		want string
	}{
		{readFile, path, 10, ""},
		{readFile, path, 9, path + ": 10 bytes, want at most 9"},
		{readFile, link, 10, ""},
		{readOwn, path, 10, ""},
		{readOwn, link, 10, link + ": a link, want a regular file"},
		{readFile, dir, 10, dir + ": a folder, want a regular file"},
	} {
		data, err := c.read(c.path, c.most)
		if c.want == "" && (err != nil || string(data) != "0123456789") || c.want != "" && (err == nil || err.Error() != c.want) {
			t.Errorf("%s, at most %d: %q, %v, want error %q", c.path, c.most, data, err, c.want)
		}
	}
	for text, want := range map[string]string{
		"0123456789abcdef\nand more": "",
		"  0123456789abcdef  ":       "",
		"0123456789abcde\n":          "a token of 15 characters, want at least 16",
		strings.Repeat("x", 5000):    "a file that cannot be read, want a regular file whose first line is the token",
	} {
		must(t, os.WriteFile(path, []byte(text), 0o666))
		token, err := ReadToken(path)
		if want == "" && (err != nil || token != "0123456789abcdef") || want != "" && (err == nil || err.Error() != want) {
			t.Errorf("token in %.20q: %q, %v, want %s", text, token, err, want)
		}
	}
}
