package main

import (
	"github.com/spf13/cobra"

	"fishplate/layoutfile"
)

func (w commands) formatCommand() *cobra.Command {
	return w.does(&cobra.Command{
		Use:     "format",
		Short:   "how a layout file is written",
		Long:    "Prints every word of a layout file with an example.",
		Example: "fishplate format\nfishplate format > format.md",
	}, w.format)
}

// format prints how a layout file is written.
func (w *world) format(words []string) int {
	if len(words) > 0 {
		return w.usage("format takes nothing behind it", "")
	}
	return w.print(layoutfile.Reference())
}
