// Command shot makes pictures of the screens: it runs a hunt on the demo
// layout without a terminal, types the keys given, and writes the last frame as
// SVG (or as text with -text). The same keys give the same picture.
//
//	go run ./tui/shot -o hunt.svg 1 enter enter "210 mV" enter
//
// A key is enter, tab, esc, up, down, left, right, pgup, pgdown, ctrl+u; any
// other word is typed.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
	"fishplate/tui"
	_ "fishplate/tui/start" // before the terminal framework: it would ask the terminal for its colours
	"fishplate/tui/svg"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	f := flag.NewFlagSet("shot", flag.ContinueOnError)
	f.SetOutput(stderr)
	w, h := f.Int("w", 100, "columns"), f.Int("h", 30, "rows")
	light := f.Bool("light", false, "a light background")
	ascii := f.Bool("ascii", false, "7-bit characters only")
	asText := f.Bool("text", false, "text with colours instead of SVG")
	out := f.String("o", "", "the file to write (standard output when empty)")
	layout := f.String("layout", "", "a layout file (the demo when empty)")
	meters := f.Bool("simple", false, "a kit without lamp and millivolts")
	if err := f.Parse(args); err != nil {
		return 2
	}
	frame, err := picture(*layout, *w, *h, *light, *ascii, *meters, f.Args())
	if err != nil {
		fmt.Fprintln(stderr, "shot:", err)
		return 1
	}
	if !*asText {
		frame = svg.Draw(frame, *w, *h, *light)
	}
	if *out == "" {
		fmt.Fprint(stdout, frame)
		return 0
	}
	if err := os.WriteFile(*out, []byte(frame), 0o644); err != nil {
		fmt.Fprintln(stderr, "shot:", err)
		return 1
	}
	return 0
}

func picture(path string, w, h int, light, ascii, simple bool, keys []string) (string, error) {
	name, src := layoutfile.Demo()
	if path != "" {
		var err error
		name = path
		if src, err = os.ReadFile(path); err != nil {
			return "", err
		}
	}
	file, problems := layoutfile.Read(name, src)
	if file == nil {
		return "", fmt.Errorf("%s has %d problems", name, len(problems))
	}
	lipgloss.SetColorProfile(termenv.TrueColor)
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: !simple, Lamp: !simple}
	o := tui.Options{Layout: file.Layout, Demo: path == "", Kit: kit, Light: light, ASCII: ascii, OneKey: 1}
	return tui.Snapshot(o, w, h, keys...), nil
}
