package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ullage/testdata/browser"
)

// zshTry types lines and the tab key at a zsh of its own, and prints what is then
// on the line between < and >.
const zshTry = `zmodload zsh/zpty
zpty shell zsh -f -i
zpty -w shell 'PROMPT=; RPROMPT=; unsetopt PROMPT_SP BEEP; autoload -Uz compinit; compinit -D -u; eval "$(ullage completion zsh)"'
zpty -w shell 'show() { print -r -- "<$BUFFER>" >>shown; BUFFER=; zle accept-line }; zle -N show; bindkey "^X" show; touch ready'
until [[ -e ready ]]; do sleep 0.05; done
n=0
for line in "$@"; do
	zpty -w -n shell "$line"$'\t\x18'
	(( ++n ))
	until [[ -e shown && $(wc -l <shown) -ge n ]]; do sleep 0.05; done
done
zpty -d shell
cat shown
`

// Each shell completes a command, a flag behind other words, and a file.
func TestCompletionInShells(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a rocket.toml"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		shell, debian, script string
		args                  []string
		want                  []string // of each, a line
	}{
		{
			"zsh", "zsh", zshTry,
			[]string{"ullage sear", "ullage search x.toml --see", "ullage check a"},
			[]string{"<ullage search >", "<ullage search x.toml --seed >", "<ullage check a\\ rocket.toml >"},
		},
		{
			"fish", "fish", "ullage completion fish | source\nfor line in $argv\n\tcomplete -C $line\nend\n",
			[]string{"ullage sear", "ullage search x.toml --see", "ullage check a"},
			[]string{"search", "--seed", "a rocket.toml"},
		},
		{
			"pwsh", "", "ullage completion powershell | Out-String | Invoke-Expression\nforeach ($line in $args) { (TabExpansion2 $line $line.Length).CompletionMatches.CompletionText }\n",
			[]string{"ullage sear", "ullage search x.toml --see"},
			[]string{"search", "--seed"},
		},
	} {
		t.Run(row.shell, func(t *testing.T) {
			t.Parallel()
			shell := ""
			if row.debian != "" {
				shell = browser.Program(t, row.debian, row.shell)
			} else if found, err := exec.LookPath(row.shell); err == nil {
				shell = found
			} else {
				t.Skip("pwsh: not installed, and Debian has no package of it")
			}
			script := filepath.Join(t.TempDir(), "try.ps1")
			if err := os.WriteFile(script, []byte(row.script), 0o666); err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute) // a shell that waits for a key
			defer cancel()
			c := exec.CommandContext(ctx, shell, append([]string{script}, row.args...)...)
			var flaws bytes.Buffer
			c.Dir, c.Stderr = dir, &flaws
			c.Env = append(os.Environ(), "HOME="+t.TempDir(), "ZDOTDIR=", "TERM=xterm")
			out, err := c.Output()
			if got := strings.Split(strings.TrimSpace(string(out)), "\n"); err != nil || !slices.Equal(got, row.want) {
				t.Errorf("%s completes to %q (%v, %s), want %q", row.shell, got, err, &flaws, row.want)
			}
		})
	}
}
