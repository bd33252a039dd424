package main

import (
	"github.com/spf13/cobra"

	"fishplate/layoutfile"
)

func (w commands) formatCommand() *cobra.Command {
	return w.does(&cobra.Command{
		Use:   "format [demo]",
		Short: "how a layout file is written",
		Long: "Prints every word of a layout file with an example; behind it \"demo\": the demo's own file, to " +
			"keep and to change.",
		Example: "fishplate format > format.md\nfishplate format demo > mine.hcl",
	}, w.format)
}

// format prints how a layout file is written.
func (w *world) format(words []string) int {
	switch {
	case len(words) == 1 && words[0] == demoName:
		_, text := layoutfile.Demo()
		return w.print(string(text))
	case len(words) > 0:
		return w.usage("format takes nothing behind it but demo", "")
	}
	return w.print(layoutfile.Reference())
}
