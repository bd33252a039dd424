package main

import (
	"flag"
	"fmt"
	"strings"
)

// completions makes the script of each shell.
var completions = map[string]func(*manual) string{}

func init() { // not a literal: the makers look at the list themselves
	completions["bash"] = bashScript
	completions["zsh"] = zshScript
	completions["fish"] = fishScript
	completions["powershell"] = powershellScript
}

// completion prints a shell's completion script, or the records of a layout
// for such a script.
func completion(w *world, args []string) int {
	const example = "fishplate completion bash"
	fs := flag.NewFlagSet("completion", flag.ContinueOnError)
	of := fs.String("records", "", "")
	words, err := parse(fs, args)
	if err != nil {
		return w.usage(err.Error(), example)
	}
	if *of != "" {
		return w.recordIDs(*of)
	}
	if len(words) != 1 {
		return w.usage("name one shell: "+strings.Join(shells(), ", "), example)
	}
	make := completions[words[0]]
	if make == nil {
		fix := "there are " + strings.Join(shells(), ", ")
		if n := nearest(words[0], shells()); n != "" {
			fix = fmt.Sprintf("did you mean %q?", n)
		}
		return w.usage(fmt.Sprintf("there is no completion for %q; %s", words[0], fix), example)
	}
	return w.print(make(readManual(helpText)))
}

// recordIDs prints the ids of a layout's records, and nothing on any trouble:
// it runs while somebody types.
func (w *world) recordIDs(layout string) int {
	a, err := newArchive(&source{name: layout, demo: layout == demoName})
	if err != nil {
		return exitOK
	}
	all, err := a.list()
	if err != nil {
		return exitOK
	}
	var b strings.Builder
	for i := range all {
		b.WriteString(all[i].id + "\n")
	}
	return w.print(b.String())
}

// takesRecords says whether records are named behind a command's layout.
func takesRecords(m *manual, command string) bool {
	for i := range m.forms {
		if m.forms[i].command == command && strings.Contains(strings.Join(m.forms[i].words, " "), "RECORD") {
			return true
		}
	}
	return false
}

// takesLayout says whether a command has a layout behind it.
func takesLayout(m *manual, command string) bool {
	for i := range m.forms {
		if m.forms[i].command == command && strings.Contains(strings.Join(m.forms[i].words, " "), "LAYOUT") {
			return true
		}
	}
	return false
}

func flagNames(list []flagHelp) string {
	var out []string
	for _, f := range list {
		out = append(out, f.names[0])
	}
	return strings.Join(out, " ")
}

// bashHead is the part of the bash script that does not depend on the commands.
const bashHead = `# bash completion of fishplate. To have it in every shell:
#   fishplate completion bash > ~/.local/share/bash-completion/completions/fishplate
# or in this one only:
#   source <(fishplate completion bash)
_fishplate_layouts() {
    local IFS=$'\n'
    COMPREPLY+=( $(compgen -f -X '!*.hcl' -- "$cur") $(compgen -d -- "$cur") $(compgen -W "demo" -- "$cur") )
}
_fishplate_list() {
    local before=
    case $cur in *,*) before=${cur%,*}, ;; esac
    COMPREPLY=( $(compgen -W "$1" -P "$before" -- "${cur##*,}") )
}
_fishplate_records() {
    local word layout= i
    for (( i = 1; i < COMP_CWORD; i++ )); do
        word=${COMP_WORDS[i]}
        case $word in *.hcl|demo) layout=$word ;; esac
    done
    if [ -n "$layout" ]; then
        COMPREPLY+=( $(compgen -W "$(fishplate completion --records "$layout" 2>/dev/null)" -- "$cur") )
    fi
}
_fishplate() {
    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} cmd=
    COMPREPLY=()
    case $prev in "=") prev=${COMP_WORDS[COMP_CWORD-2]} ;; esac
    case $cur in "=") cur= ;; esac
    if [ "$COMP_CWORD" -gt 1 ]; then
        case ${COMP_WORDS[1]} in
`

// bashScript needs bash 3.2 or newer and nothing else.
func bashScript(m *manual) string {
	var b strings.Builder
	names, _ := m.names()
	b.WriteString(bashHead)
	fmt.Fprintf(&b, "            %s) cmd=${COMP_WORDS[1]} ;;\n        esac\n    fi\n    case $cmd$prev in\n", strings.Join(names, "|"))
	for _, c := range append([]string{""}, names...) {
		for _, f := range m.flagsOf(c) {
			if f.arg == "" {
				continue
			}
			fmt.Fprintf(&b, "        %s%s) %s; return ;;\n", c, f.names[0], bashValue(c, f.arg))
		}
	}
	b.WriteString("    esac\n    case $cmd in\n")
	for _, c := range names {
		fmt.Fprintf(&b, "        %s)\n", c)
		fmt.Fprintf(&b, "            case $cur in -*) COMPREPLY=( $(compgen -W %q -- \"$cur\") ); return ;; esac\n", flagNames(m.flagsOf(c)))
		if c == "completion" {
			fmt.Fprintf(&b, "            COMPREPLY=( $(compgen -W %q -- \"$cur\") )\n", strings.Join(shells(), " "))
		}
		if takesRecords(m, c) {
			b.WriteString("            _fishplate_records\n")
		}
		if takesLayout(m, c) {
			b.WriteString("            _fishplate_layouts\n")
		}
		b.WriteString("            ;;\n")
	}
	fmt.Fprintf(&b, `        *)
            case $cur in -*) COMPREPLY=( $(compgen -W %q -- "$cur") ); return ;; esac
            if [ "$COMP_CWORD" -eq 1 ]; then COMPREPLY=( $(compgen -W %q -- "$cur") ); fi
            _fishplate_layouts
            ;;
    esac
}
complete -o filenames -F _fishplate fishplate
`, flagNames(m.flagsOf(""))+" --version --help", strings.Join(names, " "))
	return b.String()
}

func bashValue(command, arg string) string {
	switch {
	case arg == "LIST":
		return fmt.Sprintf("_fishplate_list %q", strings.Join(values(command, arg), " "))
	case arg == "FILE":
		return `COMPREPLY=( $(compgen -f -- "$cur") )`
	case arg == "RECORD":
		return "_fishplate_records"
	case arg == "LAYOUT":
		return "_fishplate_layouts"
	case values(command, arg) != nil:
		return fmt.Sprintf(`COMPREPLY=( $(compgen -W %q -- "$cur") )`, strings.Join(values(command, arg), " "))
	}
	return ":"
}
