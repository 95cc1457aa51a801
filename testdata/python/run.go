package python

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
)

// Run runs a script of this folder, given by its path from the test, with in
// as JSON on its standard input, and decodes the JSON that it prints into out.
func Run(t testing.TB, script string, in, out any) {
	t.Helper()
	question, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	var answer, complaint bytes.Buffer
	cmd := exec.Command(Python(t), script)
	cmd.Env = append(os.Environ(), "PYTHONDONTWRITEBYTECODE=1")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(question), &answer, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v\n%s", script, err, &complaint)
	}
	if err := json.Unmarshal(answer.Bytes(), out); err != nil {
		t.Fatalf("%s: %v", script, err)
	}
}
