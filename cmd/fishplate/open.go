package main

import (
	"fmt"
	"os"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui"
	practice "fishplate/tui/drill"
)

// openCommand is the root of the commands: a layout on the screen.
func (w commands) openCommand() *cobra.Command {
	a := screenArgs{kit: newKit()}
	var version bool
	c := w.does(&cobra.Command{
		Use:   "fishplate [LAYOUT]",
		Short: "find electrical faults on toy-train layouts with an ordinary meter",
		Long: "Opens a layout on the screen and goes on with its hunt. Without a name it lists the layouts " +
			"of this folder; where there are none it is the demo, an invented layout that comes with the program.",
		Example: "fishplate\nfishplate shelf.hcl --meters beeper,ohms",
	}, func(words []string) int {
		if version {
			return w.version(words)
		}
		return w.open(&a, words)
	})
	fs := c.Flags()
	fs.BoolVar(&a.fresh, "new", false, "begin a new hunt beside the ones that are kept")
	fs.StringVar(&a.record, "record", "", "go on with this kept `RECORD` instead of the newest")
	kitFlags(c, a.kit)
	a.look = lookFlags(fs).readings(fs)
	fs.BoolVar(&version, "version", false, "which version this is")
	offer(c, "record", w.recordsBehind)
	return w.onLayout(c, false)
}

// open shows a layout in the full-screen program.
func (w *world) open(a *screenArgs, words []string) int {
	if len(words) > 0 {
		if c := meant(w.now, words[0]); c != "" {
			return w.usage(fmt.Sprintf("there is no command and no layout %q; did you mean %s?", words[0], c),
				"fishplate "+c)
		}
	}
	var err error
	if a.name, err = one(words, demoName); err != nil {
		return w.usage(err.Error(), "fishplate LAYOUT [--new] [--meters beeper,ohms,volts]")
	}
	a.unnamed = len(words) == 0 && a.record == ""
	a.config = w.settle(w.now.Flags(), a.kit)
	return screens(w, *a)
}

// screenArgs is what the full-screen program was asked for.
type screenArgs struct {
	name string
	// unnamed says that no layout was named, nor a record of one: name is the demo's.
	unnamed bool
	kit     *kitFlag
	fresh   bool // do not go on with the hunt that is kept
	look    *look
	save    string // where to keep the hunt instead of the usual place
	// record is the kept hunt to go on with, as named by the user; empty: the
	// newest, if it is not over.
	record string
	config *config
	// symptom is what is hunted, where other work told it: then it is a new hunt.
	symptom *hunt.Symptom
	// drill begins with the drill; its lessons and records are as drillArgs says.
	drill     *practice.Choice
	drillArgs *drillArgs
}

func screens(w *world, a screenArgs) int {
	if _, _, ok := w.terminal(); !ok {
		return w.noTerminal(a.name)
	}
	if a.look == nil {
		a.look = &look{}
	}
	s := &stay{w: w, look: a.look}
	if a.unnamed {
		if o, ok := s.choosing(a); ok {
			return s.run(o)
		}
	}
	o, err := s.hunting(w, a)
	if err != nil {
		return w.refused(err)
	}
	return s.run(o)
}

// terminal gives stdin and stdout where both are a terminal that can show
// screens.
func (w *streams) terminal() (in, out *os.File, ok bool) {
	in, inFile := w.in.(*os.File)
	out, outFile := w.screen.(*os.File)
	ok = inFile && outFile && term.IsTerminal(in.Fd()) && term.IsTerminal(out.Fd()) && os.Getenv("TERM") != "dumb"
	return in, out, ok
}

// whyNone says what keeps the screens from being shown.
func (w *streams) whyNone() string {
	if os.Getenv("TERM") == "dumb" {
		return "this one says that it is dumb (TERM=dumb)"
	}
	return "there is none here"
}

func (w *streams) noTerminal(name string) int {
	fmt.Fprintf(w.err, "fishplate: the screens need a terminal for stdin and stdout, and "+w.whyNone()+"\n"+
		"  line by line: fishplate hunt --plain %s\n  for programs: fishplate hunt --json %s\n", name, name)
	return exitUsage
}

var _ tui.Hunter = (*hunt.Hunt)(nil)

// testHunter is set by tests only: it puts a hunt that breaks on purpose in
// the place of the real one.
var testHunter func(tui.Hunter, *track.Layout, hunt.Kit) tui.Hunter
