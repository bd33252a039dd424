package main

import (
	"flag"
)

// huntArgs is a hunt without screens.
type huntArgs struct {
	name   string
	kit    *kitFlag
	resume bool
	save   string
	record string // the kept hunt to go on with; empty: the newest
	config *config
}

// huntCommand runs a hunt line by line, for programs, or on the screens.
func huntCommand(w *world, args []string) int {
	const example = "fishplate hunt --plain FILE"
	fs := flag.NewFlagSet("hunt", flag.ContinueOnError)
	a := huntArgs{kit: newKit()}
	plain := fs.Bool("plain", false, "")
	asJSON := fs.Bool("json", false, "")
	kitFlags(fs, a.kit)
	fs.BoolVar(&a.resume, "resume", false, "")
	fs.StringVar(&a.save, "save", "", "")
	fs.StringVar(&a.record, "record", "", "")
	look := lookFlags(fs)
	words, err := parse(fs, args)
	if err == nil {
		a.name, err = one(words, demoName)
	}
	if err != nil {
		return w.usage(err.Error(), example)
	}
	a.resume = a.resume || a.record != ""
	a.config = w.settle(fs, a.kit)
	switch {
	case a.record != "" && a.save != "":
		return w.usage("--record and --save exclude each other", example)
	case *plain && *asJSON:
		return w.usage("--plain is for people and --json for programs: choose one", example)
	case a.name == stdinName:
		return w.usage("a hunt reads its answers from stdin, so the layout must be a file", example)
	case *plain:
		return huntPlain(w, a)
	case *asJSON:
		return huntJSON(w, a)
	}
	return screens(w, screenArgs{name: a.name, kit: a.kit, look: look, save: a.save, record: a.record, config: a.config})
}
