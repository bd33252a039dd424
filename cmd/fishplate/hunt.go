package main

import (
	"github.com/spf13/cobra"

	"fishplate/diagnose/hunt"
)

// huntArgs is a hunt as asked for.
type huntArgs struct {
	name   string
	plain  bool
	json   bool
	look   *look
	kit    *kitFlag
	resume bool
	save   string
	record string // the kept hunt to go on with; empty: the newest
	config *config
	// symptom is what is hunted, where other work told it.
	symptom *hunt.Symptom
}

func (w commands) huntCommand() *cobra.Command {
	a := huntArgs{kit: newKit()}
	c := w.does(&cobra.Command{
		Use:   "hunt [--plain | --json] LAYOUT",
		Short: "a hunt line by line (screen readers, pipes), or for programs",
		Long: "With --plain a hunt goes line by line, without drawings or cursor movement; with --json it speaks " +
			"one JSON object a line (see: fishplate help json). With neither it is the hunt on the screen. " +
			"How likely faults are, and how long acts take, is assumed where no count was found.",
		Example: "fishplate hunt --plain demo\nfishplate hunt --json --save hunt.json shelf.hcl",
	}, func(words []string) int { return w.hunt(&a, words) })
	fs := c.Flags()
	fs.BoolVar(&a.plain, "plain", false, "line by line: screen readers, pipes")
	fs.BoolVar(&a.json, "json", false, "for programs: one JSON object a line, in and out")
	fs.BoolVar(&a.resume, "resume", false, "go on with the hunt that was left")
	fs.StringVar(&a.record, "record", "", "go on with this `RECORD`")
	fs.StringVar(&a.save, "save", "", "keep the hunt in `FILE` instead of in LAYOUT.hunts")
	kitFlags(c, a.kit)
	a.look = lookFlags(fs).readings(fs)
	offer(c, "record", w.recordsBehind)
	return w.onLayout(c, false)
}

// hunt runs a hunt line by line, for programs, or on the screens.
func (w *world) hunt(a *huntArgs, words []string) int {
	var err error
	if a.name, err = one(words, demoName); err != nil {
		return w.usage(err.Error(), "")
	}
	a.resume = a.resume || a.record != ""
	a.config = w.settle(w.now.Flags(), a.kit)
	switch {
	case a.record != "" && a.save != "":
		return w.usage("--record and --save exclude each other", "")
	case a.plain && a.json:
		return w.usage("--plain is for people and --json for programs: choose one", "")
	case a.name == stdinName:
		return w.usage("a hunt reads its answers from stdin, so the layout must be a file", "")
	case a.plain:
		return huntPlain(w, *a)
	case a.json:
		return huntJSON(w, *a)
	}
	return screens(w, screenArgs{name: a.name, kit: a.kit, look: a.look, save: a.save, record: a.record,
		config: a.config})
}
