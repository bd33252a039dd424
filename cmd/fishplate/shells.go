package main

import (
	"fmt"
	"strings"
)

// zshScript is made for zsh's own completion system (zshcompsys).
func zshScript(m *manual) string {
	var b strings.Builder
	names, about := m.names()
	b.WriteString(`#compdef fishplate
# zsh completion of fishplate. To have it in every shell, in a folder of $fpath:
#   fishplate completion zsh > ~/.zsh/completions/_fishplate
_fishplate_layouts() { _alternative 'files:layout:_files -g "*.hcl"' 'demo:layout:(demo)' }
_fishplate_records() {
  local -a ids
  local word layout
  for word in $words; do case $word in (*.hcl|demo) layout=$word ;; esac; done
  if [[ -n $layout ]]; then
    ids=(${(f)"$(fishplate completion --records $layout 2>/dev/null)"})
    compadd -a ids
  fi
}
_fishplate() {
  local -a commands
  commands=(
`)
	for _, c := range names {
		fmt.Fprintf(&b, "    %s\n", zshQuote(c+":"+about[c]))
	}
	b.WriteString("  )\n  if (( CURRENT == 2 )) && [[ $PREFIX != -* ]]; then\n    _describe command commands\n    _fishplate_layouts\n    return\n  fi\n  case $words[2] in\n")
	for _, c := range names {
		fmt.Fprintf(&b, "    %s)\n      shift words; (( CURRENT-- ))\n      _arguments \\\n", c)
		zshFlags(&b, m, c)
		switch {
		case c == "completion":
			fmt.Fprintf(&b, "        '1:shell:(%s)'\n", strings.Join(shells(), " "))
		case takesRecords(m, c):
			b.WriteString("        '1:layout:_fishplate_layouts' '*:record:_fishplate_records'\n")
		case takesLayout(m, c):
			b.WriteString("        '1:layout:_fishplate_layouts'\n")
		default:
			b.WriteString("        && return\n")
		}
		b.WriteString("      ;;\n")
	}
	b.WriteString("    *)\n      _arguments '--version[which version this is]' '--help[what can be typed]' \\\n")
	zshFlags(&b, m, "")
	b.WriteString("        '*:layout:_fishplate_layouts'\n      ;;\n  esac\n}\n")
	b.WriteString("if [[ $zsh_eval_context[-1] == loadautofunc ]]; then\n  _fishplate \"$@\"\nelse\n  compdef _fishplate fishplate\nfi\n")
	return b.String()
}

func zshFlags(b *strings.Builder, m *manual, c string) {
	for _, f := range m.flagsOf(c) {
		spec := f.names[0] + "[" + strings.NewReplacer("[", "(", "]", ")", ":", ",").Replace(f.about) + "]"
		if f.arg != "" {
			spec += ":" + strings.ToLower(strings.ReplaceAll(f.arg, "=", " ")) + ":" + zshValue(c, f.arg)
		}
		fmt.Fprintf(b, "        %s \\\n", zshQuote(spec))
	}
}

func zshValue(command, arg string) string {
	list := values(command, arg)
	switch {
	case arg == "LIST":
		return "_sequence compadd - " + strings.Join(list, " ")
	case arg == "FIELD=TEXT":
		return "compadd -S '' - " + strings.Join(list, " ")
	case arg == "FILE":
		return "_files"
	case arg == "RECORD":
		return "_fishplate_records"
	case arg == "LAYOUT":
		return "_fishplate_layouts"
	case list != nil:
		return "(" + strings.Join(list, " ") + ")"
	}
	return " "
}

func zshQuote(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }

// fishScript is made for fish 3.
func fishScript(m *manual) string {
	var b strings.Builder
	names, about := m.names()
	b.WriteString(`# fish completion of fishplate. To have it in every shell:
#   fishplate completion fish > ~/.config/fish/completions/fishplate.fish
function __fishplate_records
    for word in (commandline -opc)
        switch $word
            case '*.hcl' demo
                fishplate completion --records $word 2>/dev/null
        end
    end
end
function __fishplate_layouts
    echo demo
    __fish_complete_suffix .hcl
end
complete -c fishplate -f
complete -c fishplate -n __fish_use_subcommand -a '(__fishplate_layouts)'
complete -c fishplate -n __fish_use_subcommand -l version -d 'which version this is'
complete -c fishplate -n __fish_use_subcommand -l help -d 'what can be typed'
`)
	for _, c := range names {
		fmt.Fprintf(&b, "complete -c fishplate -n __fish_use_subcommand -a %s -d %s\n", c, fishQuote(about[c]))
		in := fmt.Sprintf("-n '__fish_seen_subcommand_from %s'", c)
		switch {
		case c == "completion":
			fmt.Fprintf(&b, "complete -c fishplate %s -a '%s'\n", in, strings.Join(shells(), " "))
		case takesLayout(m, c):
			fmt.Fprintf(&b, "complete -c fishplate %s -a '(__fishplate_layouts)'\n", in)
		}
		if takesRecords(m, c) {
			fmt.Fprintf(&b, "complete -c fishplate %s -a '(__fishplate_records)'\n", in)
		}
		fishFlags(&b, m, c, in)
	}
	fishFlags(&b, m, "", "-n 'not __fish_seen_subcommand_from "+strings.Join(names, " ")+"'")
	return b.String()
}

func fishFlags(b *strings.Builder, m *manual, c, in string) {
	for _, f := range m.flagsOf(c) {
		name := strings.TrimLeft(f.names[0], "-")
		kind := "-l"
		if !strings.HasPrefix(f.names[0], "--") {
			kind = "-s"
		}
		extra := ""
		switch list := values(c, f.arg); {
		case f.arg == "FILE":
			extra = " -r -F"
		case f.arg == "LIST":
			extra = " -x -a '(__fish_append , " + strings.Join(list, " ") + ")'"
		case f.arg == "RECORD":
			extra = " -x -a '(__fishplate_records)'"
		case list != nil:
			extra = " -x -a '" + strings.Join(list, " ") + "'"
		case f.arg != "":
			extra = " -x"
		}
		fmt.Fprintf(b, "complete -c fishplate %s %s %s%s -d %s\n", in, kind, name, extra, fishQuote(f.about))
	}
}

func fishQuote(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s) + "'"
}

// powershellScript is made for PowerShell 5 and newer.
func powershellScript(m *manual) string {
	var b strings.Builder
	names, _ := m.names()
	b.WriteString("# PowerShell completion of fishplate. To have it in every shell, in $PROFILE:\n#   fishplate completion powershell | Out-String | Invoke-Expression\n")
	b.WriteString("Register-ArgumentCompleter -Native -CommandName fishplate -ScriptBlock {\n    param($word, $ast, $cursor)\n    $flags = @{\n")
	for _, c := range append([]string{""}, names...) {
		fmt.Fprintf(&b, "        '%s' = @(%s)\n", c, psList(strings.Fields(flagNames(m.flagsOf(c)))))
	}
	b.WriteString("    }\n    $values = @{\n")
	for _, c := range append([]string{""}, names...) {
		for _, f := range m.flagsOf(c) {
			if list := values(c, f.arg); list != nil {
				fmt.Fprintf(&b, "        '%s %s' = @(%s)\n", c, f.names[0], psList(list))
			}
		}
	}
	fmt.Fprintf(&b, `    }
    $commands = @(%s)
    $said = @($ast.CommandElements | Where-Object { $_.Extent.EndOffset -lt $cursor } | ForEach-Object { $_.ToString() })
    $command = ''
    if ($said.Count -gt 1 -and $commands -contains $said[1]) { $command = $said[1] }
    $last = if ($said.Count -gt 0) { $said[-1] } else { '' }
    $found = @()
    if ($values.ContainsKey("$command $last")) {
        $found = $values["$command $last"]
    } elseif ($word.StartsWith('-')) {
        $found = $flags[$command]
    } elseif ($command -eq 'completion') {
        $found = @(%s)
    } else {
        if ($said.Count -le 1) { $found += $commands }
        $found += 'demo'
        $found += Get-ChildItem -Path "$word*" -Include *.hcl -Name -ErrorAction SilentlyContinue
    }
    $found | Where-Object { $_ -like "$word*" } | ForEach-Object {
        [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
    }
}
`, psList(names), psList(shells()))
	return b.String()
}

func psList(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = "'" + strings.ReplaceAll(w, "'", "''") + "'"
	}
	return strings.Join(out, ", ")
}
