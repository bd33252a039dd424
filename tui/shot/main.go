// Command shot makes pictures of the screens: it runs a hunt on the demo
// layout without a terminal, types the keys given, and writes the last frame as
// SVG (or as text with -text). The same keys give the same picture.
//
//	go run ./tui/shot -o hunt.svg 1 enter enter "210 mV" enter
//
// A key is enter, tab, esc, up, down, left, right, pgup, pgdown, ctrl+u; any
// other word is typed. With -walk the keys go to the walk, which begins with a
// ready shape (or "empty"); with -class to a drill of that class number, a short
// with a coach who hints.
//
// go generate ./tui/shot makes the pictures of the README anew.
package main

//go:generate go run . -w 80 -h 24 -o pictures/hunt.svg 1 enter bright enter 0.14 enter "-34.7 mV" enter "-8.7"
//go:generate go run . -w 80 -h 24 -o pictures/inspect.svg 1 enter bright enter 0.14 enter "-34.7 mV" enter "-8.7 mV" enter "-29.3 mV" enter
//go:generate go run . -w 80 -h 24 -o pictures/walk.svg -walk empty 1 enter 3 s f enter enter t l 6 s 4 l 5 s f enter
//go:generate go run . -w 100 -h 30 -o pictures/drill.svg -class 12 "train off" enter "beep T1" enter "supply lamp" enter "mv F1 hot to main 31/32 center" enter

import (
	"flag"
	"fmt"
	"io"
	"os"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
	"fishplate/tui"
	practice "fishplate/tui/drill"
	_ "fishplate/tui/start" // before the terminal framework: it would ask the terminal for its colours
	"fishplate/tui/svg"
	"fishplate/tui/walk"
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
	shape := f.String("walk", "", "the walk, begun with a ready shape, or empty")
	class := f.Int("class", 0, "a drill of this class number")
	if err := f.Parse(args); err != nil {
		return 2
	}
	lipgloss.SetColorProfile(termenv.TrueColor)
	var frame string
	var err error
	if *shape != "" {
		frame = walked(*shape, *w, *h, *light, *ascii, f.Args())
	} else {
		frame, err = picture(*layout, *w, *h, *light, *ascii, *meters, *class, f.Args())
	}
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

// walked is a frame of the walk of a new layout.
func walked(shape string, w, h int, light, ascii bool, keys []string) string {
	var o tui.WalkOptions
	o.Path = "my-layout.hcl"
	if shape != "empty" {
		o.Shape = shape
	}
	for _, c := range layoutfile.Constructions() {
		o.Constructions = append(o.Constructions, walk.Construction{Name: c.Name, About: c.About})
	}
	return tui.Snapshot(tui.Options{Walk: &o, Light: light, ASCII: ascii}, w, h, keys...)
}

// picture is a frame of a hunt, or of a drill where a class number is given.
func picture(path string, w, h int, light, ascii, simple bool, class int, keys []string) (string, error) {
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
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true}
	if !simple {
		kit.Millivolts, kit.Lamp, kit.LampAmps, kit.DCVolts, kit.Battery = true, true, 1.75, 12, true
	}
	o := tui.Options{Layout: file.Layout, Demo: path == "", Kit: kit, KitKnown: class == 0, Light: light,
		ASCII: ascii, OneKey: 1}
	if class > 0 {
		o.Drills = classroom{file.Layout, kit}
		o.Drill = &practice.Choice{Fault: "short", Class: class, Coach: string(coach.Hint)}
	}
	return tui.Snapshot(o, w, h, keys...), nil
}
