package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/spf13/cobra"
)

// completions makes the script of each shell. The scripts ask the program
// itself what can be typed next.
var completions = map[string]func(*cobra.Command, io.Writer) error{
	"bash": func(c *cobra.Command, out io.Writer) error {
		if _, err := io.WriteString(out, bashWords); err != nil {
			return err
		}
		return c.GenBashCompletionV2(out, true)
	},
	"zsh":        (*cobra.Command).GenZshCompletion,
	"fish":       func(c *cobra.Command, out io.Writer) error { return c.GenFishCompletion(out, true) },
	"powershell": (*cobra.Command).GenPowerShellCompletionWithDesc,
}

// bashWords stands in for the one function of the package bash-completion that
// the script calls, where that package is not installed: the words of the line
// without what bash takes "=" and ":" apart for.
const bashWords = `if ! declare -F _get_comp_words_by_ref >/dev/null 2>&1; then
_get_comp_words_by_ref() {
    words=() cword=0
    local i
    for (( i = 0; i <= COMP_CWORD; i++ )); do
        if (( i > 1 )) && [[ ${COMP_WORDS[i]} == [=:]* || ${COMP_WORDS[i-1]} == [=:] ]]; then
            words[${#words[@]}-1]+=${COMP_WORDS[i]}
        else
            words+=("${COMP_WORDS[i]}")
        fi
    done
    cword=$(( ${#words[@]} - 1 ))
    cur=${words[cword]} prev=
    if (( cword > 0 )); then prev=${words[cword-1]}; fi
}
fi
`

func shells() []string {
	var out []string
	for s := range completions {
		out = append(out, s)
	}
	sort.Strings(out)
	return out
}

func (w commands) completionCommand() *cobra.Command {
	var of string
	c := w.does(&cobra.Command{
		Use:   "completion SHELL",
		Short: "what Tab needs in " + strings.Join(shells(), ", "),
		Long: "Prints a script for your shell; SHELL is " + strings.Join(shells(), ", ") +
			". To have it in every bash, put the line of the example into ~/.bashrc.",
		Example: "source <(fishplate completion bash)\nfishplate completion fish > " +
			"~/.config/fish/completions/fishplate.fish",
	}, func(words []string) int { return w.completion(words, of) })
	c.Flags().StringVar(&of, "records", "", "the records of `LAYOUT`, a line each")
	c.ValidArgsFunction = func(_ *cobra.Command, words []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(words) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return shells(), cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// completion prints a shell's completion script, or the records of a layout
// for such a script of one's own.
func (w *world) completion(words []string, of string) int {
	if of != "" {
		return w.print(strings.Join(append(w.recordIDs(of), ""), "\n"))
	}
	if len(words) != 1 {
		return w.usage("name one shell: "+strings.Join(shells(), ", "), "fishplate completion bash")
	}
	make := completions[words[0]]
	if make == nil {
		fix := "there are " + strings.Join(shells(), ", ")
		if n := nearest(words[0], shells()); n != "" {
			fix = fmt.Sprintf("did you mean %q?", n)
		}
		return w.usage(fmt.Sprintf("there is no completion for %q; %s", words[0], fix), "fishplate completion bash")
	}
	var b bytes.Buffer
	if err := make(w.now.Root(), &b); err != nil {
		return w.fail(err)
	}
	return w.print(b.String())
}

// recordIDs gives the ids of a layout's records, and nothing on any trouble:
// it runs while somebody types.
func (w *world) recordIDs(layout string) []string {
	a, err := newArchive(&source{name: layout, demo: layout == demoName})
	if err != nil {
		return nil
	}
	all, err := a.list()
	if err != nil {
		return nil
	}
	var out []string
	for i := range all {
		out = append(out, all[i].id)
	}
	return out
}

// layoutsFor gives the layouts that a name may go on to: files that end in
// .hcl, folders to look in, and the demo.
func layoutsFor(typed string) ([]string, cobra.ShellCompDirective) {
	dir, begun := filepath.Split(typed)
	list, _ := os.ReadDir(filepath.Clean(orHere(dir))) // none where it cannot be read
	var files, folders []string
	for _, f := range list {
		name := f.Name()
		if !strings.HasPrefix(name, begun) || (strings.HasPrefix(name, ".") && begun == "") {
			continue
		}
		info, err := os.Stat(filepath.Join(orHere(dir), name)) // links are followed
		switch {
		case err != nil:
		case info.IsDir() && filepath.Ext(name) != ".hunts":
			folders = append(folders, dir+name+string(filepath.Separator))
		case !info.IsDir() && filepath.Ext(name) == ".hcl":
			files = append(files, dir+name)
		}
	}
	if strings.HasPrefix(demoName, typed) {
		files = append(files, demoName)
	}
	how := cobra.ShellCompDirectiveNoFileComp
	if len(files) == 0 && len(folders) == 1 {
		how |= cobra.ShellCompDirectiveNoSpace // its files come next
	}
	return append(files, folders...), how
}

func orHere(dir string) string {
	if dir == "" {
		return "."
	}
	return dir
}
