package main

import _ "embed"

//go:embed help.txt
var helpText string

// help says what the program does; what stands behind it is passed over.
func help(w *world, _ []string) int { return w.print(helpText) }
