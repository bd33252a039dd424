package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// commands makes the tree of commands: flags, help and completion. What a command
// does is the world's, or a type's over it.
type commands struct{ *world }

// root makes the tree of commands. A first word that is no command is a layout
// to open.
func (w commands) root() *cobra.Command {
	root := w.openCommand()
	root.SilenceErrors, root.SilenceUsage = true, true
	root.CompletionOptions.DisableDefaultCmd = true // ours also names records
	root.SetOut(w.out)
	root.SetErr(w.err)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return &usageError{what: flagError(c, err)} })
	root.PersistentFlags().BoolP("help", "h", false, "what this command does")
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { w.code = w.print(helpOf(c)) })
	cobra.EnableCommandSorting = false // they stand in the order of the work
	for _, g := range w.groups() {
		root.AddGroup(&cobra.Group{ID: g.title, Title: g.title})
		for _, c := range g.commands {
			c.GroupID = g.title
			root.AddCommand(c)
			if c.Name() == "help" {
				root.SetHelpCommand(c)
			}
		}
	}
	for _, c := range append(root.Commands(), root) {
		c.DisableFlagsInUseLine = true
		c.Flags().SortFlags = false
	}
	return root
}

// group is commands that serve one kind of work.
type group struct {
	title    string
	commands []*cobra.Command
}

// groups are all commands, in the order in which the work comes.
func (w commands) groups() []group {
	return []group{
		{"Your layout", []*cobra.Command{w.walkCommand(), w.checkCommand(), w.wiringCommand(), w.panelCommand(),
			w.pieceCommand(), w.buildCommand(), w.setupCommand()}},
		{"The hunt", []*cobra.Command{w.healthCommand(), w.huntCommand(), w.cardCommand(), w.recordsCommand(),
			w.reportCommand(), w.oddsCommand()}},
		{"Practice", []*cobra.Command{w.drillCommand(), w.quizCommand()}},
		{"For other programs", []*cobra.Command{w.netlistCommand(), w.suspectsCommand()}},
		{"The program itself", []*cobra.Command{w.helpCommand(), w.configCommand(), w.completionCommand(),
			w.manCommand(), w.formatCommand(),
			w.versionCommand(), w.licencesCommand()}},
	}
}

// does says what a command does with the words behind it, flags left out; it
// gives what the program ends with.
func (w *world) does(c *cobra.Command, run func(words []string) int) *cobra.Command {
	c.Args = cobra.ArbitraryArgs
	c.RunE = func(c *cobra.Command, words []string) error {
		w.now = c
		w.code = run(words)
		return nil
	}
	if c.ValidArgsFunction == nil {
		c.ValidArgsFunction = cobra.NoFileCompletions
	}
	return c
}

// onLayout offers layouts for the first word of a command, and records of it
// for the others where it takes some.
func (w *world) onLayout(c *cobra.Command, records bool) *cobra.Command {
	c.ValidArgsFunction = func(_ *cobra.Command, words []string, typed string) ([]string, cobra.ShellCompDirective) {
		switch {
		case len(words) == 0:
			return layoutsFor(typed)
		case records:
			return w.recordsBehind(c, words, typed)
		}
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// offer says what Tab offers behind a flag.
func offer(c *cobra.Command, flag string, f cobra.CompletionFunc) {
	if err := c.RegisterFlagCompletionFunc(flag, f); err != nil {
		panic(err) // a flag that the command does not have: a mistake of ours
	}
}

// choices are words of which one is taken.
func choices(words ...string) cobra.CompletionFunc {
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}

// lists are words of which several are taken, with commas between them.
func lists(words ...string) cobra.CompletionFunc {
	return func(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
		before := typed[:strings.LastIndexByte(typed, ',')+1]
		taken := strings.Split(before, ",")
		var out []string
		for _, w := range words {
			if !slices.Contains(taken, w) {
				out = append(out, before+w)
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	}
}

// recordsBehind offers the records of the layout among a command's words.
func (w *world) recordsBehind(_ *cobra.Command, words []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(words) == 0 {
		words = []string{demoName}
	}
	return w.recordIDs(words[0]), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
}

// flagError says what is wrong with a flag, with the one that was probably
// meant.
func flagError(c *cobra.Command, err error) string {
	switch e := err.(type) {
	case *pflag.NotExistError:
		return noFlag(c, e)
	case *pflag.ValueRequiredError:
		return fmt.Sprintf("--%s needs something behind it", e.GetFlag().Name)
	case *pflag.InvalidValueError:
		if e.GetFlag().Value.Type() == "bool" {
			return fmt.Sprintf("--%s is a switch and takes no value", e.GetFlag().Name)
		}
		if n := e.GetFlag().Value.Type(); n == "int" {
			return fmt.Sprintf("--%s %s: write a whole number", e.GetFlag().Name, e.GetValue())
		}
		return fmt.Sprintf("--%s: %v", e.GetFlag().Name, e.Unwrap())
	case *pflag.InvalidSyntaxError:
		return fmt.Sprintf("%s is no flag; flags are words behind two dashes", e.GetSpecifiedFlag())
	}
	return err.Error()
}

func noFlag(c *cobra.Command, e *pflag.NotExistError) string {
	name, written := e.GetSpecifiedName(), "--"+e.GetSpecifiedName()
	if s := e.GetSpecifiedShortnames(); s != "" { // a word behind one dash
		name, written = s, "-"+s
	}
	var known []string
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name != "help" {
			known = append(known, f.Name)
		}
	})
	if n := nearest(name, known); n != "" {
		return fmt.Sprintf("there is no flag %s; did you mean --%s?", written, n)
	}
	if len(known) == 0 {
		return fmt.Sprintf("there is no flag %s; %s has none", written, c.Name())
	}
	return fmt.Sprintf("there is no flag %s; there are --%s", written, strings.Join(known, ", --"))
}

// longFlags puts a second dash to flags that were written with one, as long as
// they are none of the short ones: -plain is taken as --plain.
func longFlags(root *cobra.Command, args []string) []string {
	takes := map[string]bool{} // a value behind it
	for _, c := range append(root.Commands(), root) {
		c.Flags().VisitAll(func(f *pflag.Flag) { takes[f.Name] = f.NoOptDefVal == "" })
	}
	takes["help"] = false
	out := slices.Clone(args)
	for i := 0; i < len(out); i++ {
		if out[i] == "--" {
			break
		}
		name, _, filled := strings.Cut(strings.TrimLeft(out[i], "-"), "=")
		value, known := takes[name]
		if !known || len(name) < 2 || !strings.HasPrefix(out[i], "-") {
			continue
		}
		if !strings.HasPrefix(out[i], "--") {
			out[i] = "-" + out[i]
		}
		if value && !filled {
			i++ // what stands behind it is its value
		}
	}
	return out
}
