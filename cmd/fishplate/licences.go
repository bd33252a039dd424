package main

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// licence is a module that is built in on some system, with the names of its
// licences as SPDX has them (Unicode stands for Unicode-DFS-2016).
type licence struct{ module, names string }

// licences are compared with the licence file of every module by a test.
var licences = []licence{
	{"github.com/agext/levenshtein", "Apache-2.0"},
	{"github.com/apparentlymart/go-textseg/v15", "MIT, Unicode, Apache-2.0"},
	{"github.com/atotto/clipboard", "BSD-3-Clause"},
	{"github.com/aymanbagabas/go-osc52/v2", "MIT"},
	{"github.com/charmbracelet/bubbles", "MIT"},
	{"github.com/charmbracelet/bubbletea", "MIT"},
	{"github.com/charmbracelet/colorprofile", "MIT"},
	{"github.com/charmbracelet/lipgloss", "MIT"},
	{"github.com/charmbracelet/x/ansi", "MIT"},
	{"github.com/charmbracelet/x/cellbuf", "MIT"},
	{"github.com/charmbracelet/x/term", "MIT"},
	{"github.com/clipperhouse/displaywidth", "MIT"},
	{"github.com/clipperhouse/stringish", "MIT"},
	{"github.com/clipperhouse/uax29/v2", "MIT"},
	{"github.com/erikgeiser/coninput", "MIT"},
	{"github.com/gofrs/flock", "BSD-3-Clause"},
	{"github.com/google/go-cmp", "BSD-3-Clause"},
	{"github.com/guptarohit/asciigraph", "BSD-3-Clause"},
	{"github.com/hashicorp/hcl/v2", "MPL-2.0"},
	{"github.com/inconshreveable/mousetrap", "Apache-2.0"},
	{"github.com/lucasb-eyer/go-colorful", "MIT"},
	{"github.com/mattn/go-isatty", "MIT"},
	{"github.com/mattn/go-localereader", "MIT"},
	{"github.com/mattn/go-runewidth", "MIT"},
	{"github.com/mitchellh/go-wordwrap", "MIT"},
	{"github.com/muesli/ansi", "MIT"},
	{"github.com/muesli/cancelreader", "MIT"},
	{"github.com/muesli/termenv", "MIT"},
	{"github.com/rivo/uniseg", "MIT"},
	{"github.com/spf13/cobra", "Apache-2.0"},
	{"github.com/spf13/pflag", "BSD-3-Clause"},
	{"github.com/xo/terminfo", "MIT"},
	{"github.com/zclconf/go-cty", "MIT"},
	{"golang.org/x/sys", "BSD-3-Clause"},
	{"golang.org/x/text", "BSD-3-Clause"},
	{"gonum.org/v1/gonum", "BSD-3-Clause"},
}

func (w commands) licencesCommand() *cobra.Command {
	return w.does(&cobra.Command{
		Use:     "licenses",
		Aliases: []string{"licences"},
		Short:   "what is built in, and under which licences",
		Long: "Lists every module that is built into this program with its version and licence, and where its " +
			"source is.",
		Example: "fishplate licenses\nfishplate licenses | grep MPL",
	}, w.licences)
}

// licences lists what is built in, as the program itself was told when it was
// built.
func (w *world) licences(words []string) int {
	if len(words) > 0 {
		return w.usage("licenses takes nothing behind it", "")
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return w.fail(fmt.Errorf("this program was built without a list of its modules"))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Built in, besides the standard library of %s (BSD-3-Clause):\n", info.GoVersion)
	for _, m := range info.Deps {
		fmt.Fprintf(&b, "  %-42s %-12.12s %s\n", m.Path, m.Version, licenceOf(m.Path))
		if licenceOf(m.Path) == "MPL-2.0" {
			fmt.Fprintf(&b, "      used as it is; its source, which you may have: https://%s, tag %s\n",
				sourceOf(m.Path), m.Version)
		}
	}
	b.WriteString("The full texts lie in the source of each, at the address that is its name.\n")
	return w.print(b.String())
}

// licenceOf gives the licence of a module.
func licenceOf(module string) string {
	for _, l := range licences {
		if l.module == module {
			return l.names
		}
	}
	return "not known: see its source"
}

// sourceOf is the repository of a module: its path without the number of a
// major version.
func sourceOf(module string) string {
	i := strings.LastIndex(module, "/v")
	if i < 0 || strings.Trim(module[i+2:], "0123456789") != "" {
		return module
	}
	return module[:i]
}
