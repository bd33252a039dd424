package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"
)

func (w commands) configCommand() *cobra.Command {
	var path, make bool
	c := w.does(&cobra.Command{
		Use:     "config",
		Short:   "your settings: where they are kept, each with its value and meaning",
		Long:    "Shows the settings. A flag wins over a setting; they are changed in their file, with any editor.",
		Example: "fishplate config\nfishplate config --write",
	}, func(words []string) int { return w.settings(words, path, make) })
	c.Flags().BoolVar(&path, "path", false, "only where they are kept")
	c.Flags().BoolVar(&make, "write", false, "make the file, with nothing set in it")
	return c
}

// settings shows the settings: where they are kept, what each means and what
// it is now.
func (w *world) settings(words []string, path, make bool) int {
	switch {
	case len(words) > 0:
		return w.usage("config takes no words behind it; settings are changed in their file, with any editor",
			"fishplate config --path")
	case path && make:
		return w.usage("--path and --write exclude each other", "")
	}
	if _, err := configPath(); err != nil {
		return w.fail(err)
	}
	c := w.config()
	switch {
	case path:
		return w.print(c.path + "\n")
	case make:
		return w.writeConfig(c)
	}
	status := w.print(c.show())
	if len(c.problems) > 0 {
		return exitBad
	}
	return status
}

// writeConfig makes a file with every key in it, none of them set.
func (w *world) writeConfig(c *config) int {
	if _, err := os.Stat(c.path); !errors.Is(err, fs.ErrNotExist) {
		return w.fail(fmt.Errorf("%s is there already, and is left as it is", c.path))
	}
	var b strings.Builder
	b.WriteString("# Settings of fishplate. Take the # off a line to set it.\n")
	for _, s := range settings() {
		b.WriteString("\n" + comment(s.about))
		fmt.Fprintf(&b, "# %s = %s\n", s.key, s.example)
	}
	if err := writeFile(c.path, []byte(b.String())); err != nil {
		return w.fail(fmt.Errorf("could not write the settings: %w", err))
	}
	return w.print("The settings are in " + c.path + "\n")
}

// show prints all settings in a form that is itself a file of settings.
func (c *config) show() string {
	var b strings.Builder
	there := "."
	if !c.there {
		there = ": not there yet; fishplate config --write makes one."
	}
	fmt.Fprintf(&b, "# Settings of fishplate, from %s%s\n# A flag on the command line wins over a setting, a setting "+
		"over the default.\n", c.path, there)
	for _, s := range settings() {
		b.WriteString("\n" + comment(s.about))
		from := "the default"
		if s.flag != "" {
			from += "; flag --" + s.flag
			if s.key == "background" {
				from += ", --dark"
			}
		}
		switch value, ok := c.written[s.key]; {
		case ok:
			fmt.Fprintf(&b, "%s = %s  # line %d of the file\n", s.key, oneLine(value), c.line[s.key])
		case s.initial != "":
			fmt.Fprintf(&b, "%s = %s  # %s\n", s.key, s.initial, from)
		default:
			fmt.Fprintf(&b, "# %s = %s  # not set; this is an example%s\n", s.key, s.example,
				strings.TrimPrefix(from, "the default"))
		}
	}
	return b.String()
}

// oneLine puts a list that was written over several lines into one.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func comment(lines []string) string {
	return "# " + strings.Join(lines, "\n# ") + "\n"
}
