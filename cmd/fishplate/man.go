package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func (w commands) manCommand() *cobra.Command {
	c := w.does(&cobra.Command{
		Use:     "man [COMMAND]",
		Short:   "the manual, or a command's page of it, as a man page",
		Long:    "Prints a man page, for man -l, mandoc or groff.",
		Example: "fishplate man > fishplate.1 && man -l fishplate.1\nfishplate man drill > fishplate-drill.1",
	}, w.man)
	c.ValidArgsFunction = func(c *cobra.Command, words []string, _ string) ([]string, cobra.ShellCompDirective) {
		var out []string
		for _, s := range c.Root().Commands() {
			if len(words) == 0 {
				out = append(out, s.Name()+"\t"+s.Short)
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// man prints the manual, or the page of a command.
func (w *world) man(words []string) int {
	root := w.now.Root()
	switch len(words) {
	case 0:
		return w.print(manPage(root))
	case 1:
		for _, c := range root.Commands() {
			if c.Name() == words[0] || c.HasAlias(words[0]) {
				return w.print(commandPage(c))
			}
		}
		return w.usage(fmt.Sprintf("there is no command %q", words[0]), "")
	}
	return w.usage("man takes one command behind it", "")
}

// page is a man page being written, in the macros of man(7).
type page struct {
	b     strings.Builder
	first bool // a section has just begun, and needs no paragraph of its own
}

func (p *page) section(name string) {
	p.b.WriteString(".SH " + name + "\n")
	p.first = true
}

func (p *page) para(text string) {
	if !p.first {
		p.b.WriteString(".PP\n")
	}
	p.first = false
	p.b.WriteString(roff(text) + "\n")
}

// item is a term and what it means.
func (p *page) item(term, text string) {
	p.b.WriteString(".TP\n\\fB" + roffWords(term) + "\\fR\n" + roff(text) + "\n")
}

// roff escapes text: groff_char(7) for the backslash and the minus sign, and a
// line must not begin with a control character.
func roff(s string) string {
	s = roffWords(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

func roffWords(s string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`, "`", `\(ga`, "'", `\(aq`, "^", `\(ha`, "~", `\(ti`, `"`,
		`\(dq`).Replace(s)
}

func (p *page) head(name, about string) {
	p.b.WriteString(".TH " + roffWords(strings.ToUpper(name)) + " 1 \"\" fishplate \"User Commands\"\n")
	p.section("NAME")
	p.b.WriteString(roffWords(name) + " \\- " + roffWords(about) + "\n")
	p.section("SYNOPSIS")
}

// manPage is the whole manual.
func manPage(root *cobra.Command) string {
	p := &page{}
	p.head("fishplate", root.Short)
	all := append([]*cobra.Command{root}, root.Commands()...)
	for i, c := range all {
		if i > 0 {
			p.b.WriteString(".br\n")
		}
		p.b.WriteString(synopsis(c))
	}
	p.section("DESCRIPTION")
	p.para("You describe a layout in a text file and say what you saw: the breaker trips, trains stall, a stretch is " +
		"dead. fishplate says where to put the two probes of a meter, you type what the meter shows, and it names " +
		"the few pieces to lift, likeliest first. The hunt is saved after every answer.")
	p.para(safety)
	p.section("COMMANDS")
	for _, c := range all {
		p.item(c.UseLine(), c.Long)
		p.flags(c)
	}
	for _, t := range topics() {
		if t.name != "file" { // it has the length of a manual of its own
			p.section(strings.ToUpper(t.about))
			p.verbatim(t.text())
		}
	}
	p.settings()
	p.surroundings()
	return p.b.String()
}

// safety is what every page says.
const safety = "Safety: supply off and unplugged, trains off the rails, before the beeper or ohms. Never a bare " +
	"supply into a short: put a lamp in series, and mind that it gets hot. Two supplies feed each other backwards " +
	"through the track: pull both plugs, touch no pins. Mains wiring is for licensed electricians, by the local codes."

// commandPage is the page of one command.
func commandPage(c *cobra.Command) string {
	p := &page{}
	p.head("fishplate-"+c.Name(), c.Short)
	p.b.WriteString(synopsis(c))
	p.section("DESCRIPTION")
	p.para(c.Long)
	p.para(safety)
	if c.LocalFlags().HasAvailableFlags() {
		p.section("OPTIONS")
		p.flags(c)
	}
	p.section("EXAMPLES")
	p.verbatim(c.Example)
	p.section("SEE ALSO")
	p.para("fishplate(1)")
	return p.b.String()
}

func (p *page) verbatim(text string) {
	p.b.WriteString(".nf\n")
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		p.b.WriteString(roff(line) + "\n")
	}
	p.b.WriteString(".fi\n")
}

func synopsis(c *cobra.Command) string {
	line := c.UseLine()
	name := strings.TrimSuffix("fishplate "+c.Name(), " fishplate")
	return "\\fB" + roffWords(name) + "\\fR" + roffWords(strings.TrimPrefix(line, name)) + "\n"
}

func (p *page) flags(c *cobra.Command) {
	c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden || (f.Name == "help" && c.HasParent()) {
			return
		}
		arg, about := pflag.UnquoteUsage(f)
		term := "--" + f.Name
		if f.Shorthand != "" {
			term = "-" + f.Shorthand + ", " + term
		}
		p.b.WriteString(".RS\n")
		p.item(strings.TrimSpace(term+" "+arg), upper(about)+".")
		p.b.WriteString(".RE\n")
	})
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (p *page) settings() {
	p.section("SETTINGS")
	p.para("One line a setting, in the file that fishplate config --path names: ~/.config/fishplate/config.hcl (or " +
		"in $XDG_CONFIG_HOME), on macOS ~/Library/Application Support/fishplate/config.hcl, on Windows " +
		"%AppData%\\fishplate\\config.hcl. A flag wins over a setting, a setting over the default. A mistake in the " +
		"file is said with its line and column and that setting is left out; no hunt stops for it.")
	for _, s := range settings() {
		text := strings.Join(s.about, " ") + fmt.Sprintf(" For example: %s = %s", s.key, s.example)
		if s.initial != "" {
			text += fmt.Sprintf("; the default is %s", s.initial)
		}
		p.item(s.key, text+".")
	}
}

// surroundings is what the program reads and leaves around it.
func (p *page) surroundings() {
	p.section("FILES")
	p.item("LAYOUT.hunts/", "The hunts of a layout, one file each, named by the day and a number: 2026-11-25-1.json. "+
		"Each holds the layout as it was. While a hunt goes on a lock lies beside its file, so that a second "+
		"fishplate does not write into it.")
	p.item("fishplate/demo.hunts/", "The same for the demo, in the folder of the settings.")
	p.item("LAYOUT.build.json", "The readings that were good while the layout was built; LAYOUT.stage3.hcl is the "+
		"layout as it was when the third stop failed.")
	p.section("ENVIRONMENT")
	p.item("NO_COLOR", "Set to anything: no colours, unless the settings say otherwise.")
	p.item("FISHPLATE_BACKGROUND", "light or dark: colours for this background.")
	p.item("COLORFGBG", "As many terminals set it: which background they have.")
	p.item("XDG_CONFIG_HOME", "Where settings are kept on Linux and the like.")
	p.item("TERM", "With dumb there are no screens; use fishplate hunt --plain.")
	p.section("EXIT STATUS")
	p.item("0", "All well.")
	p.item("1", "The layout or the settings have problems, or a file cannot be read or written, or another fishplate "+
		"has this hunt open.")
	p.item("2", "The command line makes no sense, or there is no terminal.")
	p.section("EXAMPLES")
	p.item("fishplate shelf.hcl", "Hunt on the screens; go on with the hunt begun before.")
	p.item("fishplate hunt --plain shelf.hcl", "The same line by line, for screen readers.")
	p.item("fishplate records shelf.hcl 1 --note \"strip was torn\"", "Add a note to the newest hunt.")
	p.item("fishplate report shelf.hcl 1 -o fault.html", "Its page, to print.")
}
