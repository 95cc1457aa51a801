package main

import (
	"io"
	"strings"

	"github.com/urfave/cli/v2"
)

// scripts make shells ask the program what may stand next. A word that begins
// with a dash is handed over, so that flags are offered; others are files, which
// shells know themselves.
var scripts = map[string]string{
	"bash": `_ullage() {
	local now=${COMP_WORDS[COMP_CWORD]} typed=("${COMP_WORDS[@]:0:COMP_CWORD}")
	[[ $now == -* ]] && typed+=("$now")
	COMPREPLY=($(compgen -W "$("${typed[@]}" ` + completion + ` 2>/dev/null)" -- "$now"))
}
complete -o default -F _ullage ullage
`,
	"zsh": `#compdef ullage
_ullage() {
	local -a typed found
	typed=("${(@)words[1,CURRENT-1]}")
	[[ ${words[CURRENT]} == -* ]] && typed+=("${words[CURRENT]}")
	found=(${(f)"$(${typed} ` + completion + ` 2>/dev/null)"})
	compadd -a found
	_files
}
compdef _ullage ullage
`,
	"fish": `function __ullage_next
	set -l typed (commandline -opc)
	set -l now (commandline -ct)
	string match -q -- '-*' $now; and set -a typed $now
	$typed ` + completion + ` 2>/dev/null
end
complete -c ullage -a '(__ullage_next)'
`,
	"powershell": `Register-ArgumentCompleter -Native -CommandName ullage -ScriptBlock {
	param($now, $line, $at)
	$typed = @($line.CommandElements | ForEach-Object { $_.ToString() })
	if ($now -and -not $now.StartsWith('-')) { $typed = @($typed | Select-Object -SkipLast 1) }
	$behind = @($typed | Select-Object -Skip 1)
	& $typed[0] @behind ` + completion + ` 2>$null | Where-Object { $_.StartsWith($now) } | ForEach-Object {
		[System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
	}
}
`,
}

// shells lists them in the order of the help.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func (s streams) completionCommand() *cli.Command {
	return &cli.Command{
		Name:      "completion",
		Usage:     "print what makes a shell complete commands and flags",
		ArgsUsage: strings.Join(shells, "|"),
		Action: func(c *cli.Context) error {
			shell, err := oneArgument(c, strings.Join(shells, ", "))
			if err != nil {
				return err
			}
			script, ok := scripts[shell]
			if !ok {
				return usage("completion %s: want %s", shell, strings.Join(shells, ", "))
			}
			_, err = io.WriteString(s.out, script)
			return err
		},
	}
}
