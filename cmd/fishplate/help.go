package main

import (
	"embed"
	"fmt"
	"math/rand/v2"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
)

//go:embed topics/*.txt
var topicFiles embed.FS

// topic is a page of help that belongs to no single command.
type topic struct {
	name, about string
	text        func() string
}

// topics are the pages of `fishplate help TOPIC`.
func topics() []topic {
	page := func(name string) func() string {
		return func() string {
			text, err := topicFiles.ReadFile("topics/" + name + ".txt")
			if err != nil {
				panic(err) // a constant of ours
			}
			return string(text)
		}
	}
	return []topic{
		{"file", "how a layout file is written", layoutfile.Reference},
		{"json", "hunt and check for programs", page("json")},
		{"words", "what can be typed in a drill", drillWords},
		{"circuit", "how the netlist and the suspects are read", page("circuit")},
		{"kit", "what you own: meters, a lamp, a DC supply", page("kit")},
	}
}

// drillWords lists what can be typed, on the demo and with all meters: a drill
// of one's own names its own pieces when help is typed in it.
func drillWords() string {
	file, _ := layoutfile.Read(layoutfile.Demo())
	o := drill.Options{Difficulty: drill.Usual,
		Kit: hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Amps: true, Lamp: true}}
	d, err := drill.New(file.Layout, o, rand.New(rand.NewPCG(1, 1)))
	if err != nil {
		panic(err) // the demo is ours
	}
	return "What can be typed in a drill, here on the demo:\n  " + strings.Join(sitting.Help(d), "\n  ") + "\n"
}

func (w commands) helpCommand() *cobra.Command {
	c := w.does(&cobra.Command{
		Use:     "help [COMMAND or TOPIC]",
		Short:   "what a command does, or a page on a topic",
		Long:    "Without a word it lists the commands and topics.",
		Example: "fishplate help hunt\nfishplate help json",
	}, w.help)
	c.DisableFlagsInUseLine = true
	c.ValidArgsFunction = func(c *cobra.Command, words []string, _ string) ([]string, cobra.ShellCompDirective) {
		var out []string
		if len(words) == 0 {
			for _, t := range topics() {
				out = append(out, t.name+"\t"+t.about)
			}
			for _, s := range c.Root().Commands() {
				out = append(out, s.Name()+"\t"+s.Short)
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// help says what the program, a command of it or a topic is.
func (w *world) help(words []string) int {
	root := w.now.Root()
	if len(words) == 0 {
		return w.print(helpOf(root))
	}
	var known []string
	for _, t := range topics() {
		if t.name == words[0] {
			return w.print(t.text())
		}
		known = append(known, t.name)
	}
	for _, c := range root.Commands() {
		if c.Name() == words[0] || c.HasAlias(words[0]) {
			return w.print(helpOf(c))
		}
		known = append(known, c.Name())
	}
	if n := nearest(words[0], known); n != "" {
		return w.usage(fmt.Sprintf("there is no help on %q; did you mean %s?", words[0], n), "fishplate help "+n)
	}
	return w.usage(fmt.Sprintf("there is no help on %q; there is on %s", words[0], strings.Join(known, ", ")),
		"fishplate help")
}

// helpOf is the help of one command.
func helpOf(c *cobra.Command) string {
	b := paper{width: checkWidth}
	if !c.HasParent() {
		b.para("", "fishplate finds electrical faults on toy-train layouts with an ordinary meter.")
		b.WriteString("\n")
	}
	b.WriteString("  " + c.UseLine() + "\n")
	b.para("  ", c.Long)
	if flags := c.LocalFlags(); flags.HasAvailableFlags() {
		b.WriteString("\n" + flags.FlagUsagesWrapped(checkWidth))
	}
	if !c.HasParent() {
		for _, g := range c.Groups() {
			fmt.Fprintf(&b, "\n%s\n", g.Title)
			for _, s := range c.Commands() {
				if s.GroupID == g.ID {
					b.hung(s.Name(), s.Short)
				}
			}
		}
		b.WriteString("\nMore on each: fishplate help COMMAND\n")
		b.WriteString("\nPages, each with: fishplate help TOPIC\n")
		for _, t := range topics() {
			b.hung(t.name, t.about)
		}
		b.WriteString("\n")
		b.para("", exitWords)
	}
	b.WriteString("\nFor example:\n")
	for _, line := range strings.Split(c.Example, "\n") {
		b.WriteString("  " + line + "\n")
	}
	return b.String()
}

// hung is a row of two columns.
func (b *paper) hung(left, right string) {
	const at = 14
	words := paper{width: b.width - at}
	words.para("", right)
	for i, line := range strings.Split(strings.TrimRight(words.String(), "\n"), "\n") {
		if i > 0 {
			left = ""
		}
		fmt.Fprintf(b, "  %-*s%s\n", at-2, left, line)
	}
}

// exitWords says what the program ends with.
const exitWords = "Exit status: 0 all well; 1 the layout or the settings have problems (check: something would not " +
	"work), a file cannot be read or written, or another fishplate has the hunt open; " +
	"2 the command line makes no sense, or there is no terminal."
