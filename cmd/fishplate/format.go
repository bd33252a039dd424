package main

import "fishplate/layoutfile"

// format prints how a layout file is written.
func format(w *world, args []string) int {
	if len(args) > 0 {
		return w.usage("format takes nothing behind it", "fishplate format")
	}
	return w.print(layoutfile.Reference())
}
