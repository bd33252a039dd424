package lesson

import (
	"embed"
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/gohcl"
	"github.com/hashicorp/hcl/v2/hclsyntax"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
)

// Files are the lessons that come with the program and their layouts, all
// invented. README.md beside them says how to write one.
//
//go:embed files/*.hcl files/README.md
var Files embed.FS

// Reference says how a lesson is written, with an example of everything.
func Reference() string {
	text, err := Files.ReadFile("files/README.md")
	if err != nil {
		panic(err) // a constant of ours
	}
	return string(text)
}

// Names lists the lessons in a folder in the order of their numbers: every
// file NAME.lesson.hcl.
func Names(dir fs.FS) ([]string, error) {
	names, err := fs.Glob(dir, "*.lesson.hcl")
	slices.Sort(names)
	return names, err
}

// Own gives the folder of the lessons that come with the program.
func Own() fs.FS {
	dir, err := fs.Sub(Files, "files")
	if err != nil {
		panic(err) // a constant of ours
	}
	return dir
}

type lessonBlock struct {
	Number  int           `hcl:"number"`
	Title   string        `hcl:"title"`
	Layout  string        `hcl:"layout"`
	Teaches []string      `hcl:"teaches"`
	Goal    string        `hcl:"goal"`
	After   string        `hcl:"after"`
	Told    string        `hcl:"told,optional"`
	Symptom string        `hcl:"symptom,optional"`
	Fault   string        `hcl:"fault,optional"`
	Track   string        `hcl:"track,optional"`
	Slips   float64       `hcl:"slips,optional"`
	Fickle  bool          `hcl:"sometimes,optional"`
	Meters  []string      `hcl:"meters"`
	Plays   []string      `hcl:"plays"`
	Hidden  []hiddenBlock `hcl:"hidden,block"`
	Checks  []checkBlock  `hcl:"check,block"`
}

type hiddenBlock struct {
	Mode string    `hcl:"mode"`
	Part string    `hcl:"part,optional"`
	Rail string    `hcl:"rail,optional"`
	Run  string    `hcl:"run,optional"`
	From int       `hcl:"from,optional"`
	To   int       `hcl:"to,optional"`
	Ohms []float64 `hcl:"ohms,optional"`
}

type checkBlock struct {
	Count   string   `hcl:"count,label"`
	AtLeast *float64 `hcl:"at_least,optional"`
	AtMost  *float64 `hcl:"at_most,optional"`
	Says    string   `hcl:"says"`
}

// Read reads a lesson. name is for the messages, which have file:line:column.
func Read(name string, src []byte) (*Lesson, error) {
	if err := outside.Lesson.HCL(src); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	f, diags := hclsyntax.ParseConfig(src, name, hcl.InitialPos)
	if diags.HasErrors() {
		return nil, first(diags)
	}
	var b lessonBlock
	if diags := gohcl.DecodeBody(f.Body, nil, &b); diags.HasErrors() {
		return nil, first(diags)
	}
	l := &Lesson{Number: b.Number, Title: b.Title, Layout: b.Layout, Teaches: b.Teaches, Goal: b.Goal, After: b.After,
		Told:    b.Told,
		Symptom: hunt.SymptomKind(b.Symptom), Fault: b.Fault, Slips: b.Slips, Sometimes: b.Fickle, Worn: b.Track,
		Plays: b.Plays}
	for _, err := range []error{l.meters(b.Meters), l.words(), l.hide(b.Hidden), l.check(b.Checks)} {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return l, nil
}

// first is the first mistake, with its place.
func first(d hcl.Diagnostics) error {
	for _, x := range d {
		if x.Severity != hcl.DiagError {
			continue
		}
		if x.Subject == nil {
			return fmt.Errorf("%s: %s", x.Summary, x.Detail)
		}
		return fmt.Errorf("%s:%d:%d: %s: %s (how a lesson is written: fishplate drill --lesson format)",
			x.Subject.Filename, x.Subject.Start.Line, x.Subject.Start.Column, x.Summary, x.Detail)
	}
	return nil
}

func (l *Lesson) meters(words []string) error {
	for _, w := range words {
		switch w {
		case "beeper":
			l.Kit.Beeper = true
		case "ohms":
			l.Kit.Ohms = true
		case "volts":
			l.Kit.Volts = true
		case "millivolts":
			l.Kit.Millivolts = true
		case "amps":
			l.Kit.Amps = true
		case "lamp":
			l.Kit.Lamp = true
		default:
			return fmt.Errorf("meters: %q is none of beeper, ohms, volts, millivolts, amps, lamp", w)
		}
	}
	if len(words) == 0 {
		return fmt.Errorf("meters: nothing lies on the table; list what does, as in [\"beeper\"]")
	}
	return nil
}

func (l *Lesson) words() error {
	in := func(what, word string, list ...string) error {
		if word == "" || slices.Contains(list, word) {
			return nil
		}
		return fmt.Errorf("%s: %q is none of %s", what, word, strings.Join(list, ", "))
	}
	var symptoms []string
	for _, k := range hunt.Symptoms() {
		symptoms = append(symptoms, string(k))
	}
	for _, err := range []error{in("symptom", string(l.Symptom), symptoms...), in("fault", l.Fault, drill.Kinds...),
		in("track", l.Worn, drill.Difficulties...)} {
		if err != nil {
			return err
		}
	}
	for _, p := range l.Plays {
		if err := in("plays", p, "program", "halving"); err != nil {
			return err
		}
	}
	switch {
	case l.Title == "" || l.Goal == "":
		return fmt.Errorf("a lesson needs a title and a goal")
	case l.Sometimes && l.Fault != "":
		return fmt.Errorf("sometimes goes with hidden blocks; without them write: fault = %q", drill.KindSometimes)
	case !(l.Slips >= 0 && l.Slips <= 0.5):
		return fmt.Errorf("slips: %v: write a share from 0 to 0.5", l.Slips)
	case path.IsAbs(l.Layout) || strings.Contains(l.Layout, ".."):
		return fmt.Errorf("layout: %q: the layout lies in the same folder; write its name alone", l.Layout)
	}
	return nil
}

func (l *Lesson) hide(list []hiddenBlock) error {
	if (len(list) == 0) == (l.Fault == "") {
		return fmt.Errorf("a lesson hides either what hidden blocks say or a fault of a kind (fault = %q): write one "+
			"of the two", drill.KindShort)
	}
	if len(list) > 2 {
		return fmt.Errorf("a lesson hides one or two faults, not %d", len(list))
	}
	for _, b := range list {
		h := drill.Hide{Mode: track.FaultMode(b.Mode), Part: b.Part, Rail: b.Rail, Run: b.Run, From: b.From, To: b.To}
		if !slices.Contains([]string{"open", "weak", "bridged", "swapped"}, b.Mode) {
			return fmt.Errorf("hidden: mode %q is none of open, weak, bridged, swapped", b.Mode)
		}
		if b.Part != "" && !slices.Contains(drill.Parts, b.Part) {
			return fmt.Errorf("hidden: part %q is none of %s", b.Part, strings.Join(drill.Parts, ", "))
		}
		if len(b.Ohms) == 2 && b.Ohms[0] > 0 && b.Ohms[1] >= b.Ohms[0] {
			h.MinOhms, h.MaxOhms = b.Ohms[0], b.Ohms[1]
		} else if len(b.Ohms) != 0 {
			return fmt.Errorf("hidden: ohms takes the least and the most, as in [0.05, 0.5]")
		}
		l.Hide = append(l.Hide, h)
	}
	return nil
}

func (l *Lesson) check(list []checkBlock) error {
	for _, b := range list {
		if countable[b.Count] == nil {
			return fmt.Errorf("check %q cannot be counted; what can: %s", b.Count, strings.Join(Countable(), ", "))
		}
		if b.AtLeast == nil && b.AtMost == nil {
			return fmt.Errorf("check %q needs at_least or at_most", b.Count)
		}
		c := Check{Count: b.Count, AtLeast: -1, AtMost: math.Inf(1), Says: b.Says}
		if b.AtLeast != nil {
			c.AtLeast = *b.AtLeast
		}
		if b.AtMost != nil {
			c.AtMost = *b.AtMost
		}
		l.Checks = append(l.Checks, c)
	}
	if len(l.Checks) == 0 {
		return fmt.Errorf("a lesson needs a check, as in: check \"found\" { ... }")
	}
	return nil
}

// Countable lists what checks can count, in order.
func Countable() []string {
	var out []string
	for k := range countable {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
