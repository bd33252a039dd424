package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/muesli/termenv"
	"github.com/spf13/pflag"
	"github.com/zclconf/go-cty/cty"
	"github.com/zclconf/go-cty/cty/convert"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/outside"
)

// setting is one key of the configuration file.
type setting struct {
	key     string
	about   []string // for `fishplate config` and the man page
	flag    string   // the flag that wins over it, without dashes; empty: none
	initial string   // the value without a file, as it would be written; empty: none
	example string   // a value, as it would be written
	kind    cty.Type
	// check says what is wrong with a value (already of the right type), and
	// gives it in the form that the program uses.
	check func(cty.Value) (string, error)
}

// settings are all keys, in the order in which they are shown.
func settings() []setting {
	yes := func(v cty.Value) (string, error) { return strconv.FormatBool(v.True()), nil }
	text := func(v cty.Value) (string, error) { return v.AsString(), nil }
	return []setting{
		{"meters", []string{"What you can measure: any of beeper, ohms, volts, millivolts, amps, lamp.",
			"Millivolts means that you also have a lamp to put in series with the supply."},
			"meters", "", `["beeper", "ohms"]`, cty.List(cty.String), meterList},
		{"meter", []string{"The kind of meter: " + strings.Join(presetNames(), ", ") + "."}, "meter",
			quoted(presetNames()[0]), quoted(presetNames()[len(presetNames())-1]), cty.String, oneOf(presetNames()...)},
		{"lamp", []string{"What is written on your lamp (watts or ampere, and volts), or its current",
			"at the supply's volts; also as measured: \"0.83 measured\"."}, "lamp", "", `"21W 12V"`, cty.String,
			kitFactOf("lamp")},
		{"dc_volts", []string{"The volts of a DC power pack or battery that takes the transformer's place",
			"with the lamp."}, "dc", "", "12", cty.String, kitFactOf("dc")},
		{"battery", []string{"That is a battery (with a fuse of 3 A at the battery)."}, "battery", "false", "true",
			cty.Bool, yes},
		{"leads", []string{"How far one lead of your meter reaches: 1.2 m, 4 ft."}, "leads", `"1.2 m"`, `"4 ft"`,
			cty.String, kitFactOf("leads")},
		{"extension", []string{"You have a wire to lengthen a lead."}, "extension", "false", "true", cty.Bool, yes},
		{"block", []string{"All that the labelled block tells is read before anything on the track."}, blockFlag,
			"false", "true", cty.Bool, yes},
		{"method", []string{"How readings are chosen: " + gear.MethodSays + "."}, methodFlag, quoted(gear.Quickest),
			quoted(gear.Bisection), cty.String, kitFactOf(methodFlag)},
		{"ascii", []string{"Draw with nothing but 7-bit characters."}, "ascii", "false", "true", cty.Bool, yes},
		{"background", []string{"The terminal's background: light, dark, or auto (as the terminal says)."}, "light",
			`"auto"`, `"light"`, cty.String, oneOf("auto", "light", "dark")},
		{"colour", []string{"Colours: auto (as the terminal says), never, 16, 256 or true.", "It wins over NO_COLOR."},
			"", `"auto"`, `"256"`, cty.String, oneOf("auto", "never", "16", "256", "true")},
		{"bell", []string{"Ring when the next reading is here."}, "bell", "false", "true", cty.Bool, yes},
		{"big", []string{"Begin with the next reading in big letters."}, "big", "false", "true", cty.Bool, yes},
		{"fps", []string{"Redraws a second at most, 1 to 120."}, "fps", "120", "30", cty.Number, wholeIn(1, 120)},
		{"units", []string{"Lengths in reports and in new layouts: in, mm, or layout (as the layout's file has them)."},
			"", `"layout"`, `"mm"`, cty.String, oneOf("layout", "in", "mm")},
		{"finder", []string{"Your name, for the records of your hunts."}, "", "", `"Ada"`, cty.String, text},
	}
}

func presetNames() []string {
	var out []string
	for _, p := range meter.Presets() {
		out = append(out, p.Name)
	}
	return out
}

func quoted(s string) string { return strconv.Quote(s) }

// oneOf takes one of some words.
func oneOf(words ...string) func(cty.Value) (string, error) {
	return func(v cty.Value) (string, error) {
		for _, w := range words {
			if v.AsString() == w {
				return w, nil
			}
		}
		if n := nearest(v.AsString(), words); n != "" {
			return "", fmt.Errorf("%q is not known; did you mean %q?", v.AsString(), n)
		}
		return "", fmt.Errorf("%q is not known; write one of %s", v.AsString(), strings.Join(words, ", "))
	}
}

func meterList(v cty.Value) (string, error) {
	var words []string
	for _, e := range v.AsValueSlice() {
		if e.IsNull() {
			return "", errors.New("there is a null in the list; take it out")
		}
		words = append(words, e.AsString())
	}
	list := strings.Join(words, ",")
	if len(words) == 0 {
		return "", errors.New("the list is empty; leave the line out, and you are asked at the first hunt")
	}
	return list, (&kitFlag{}).Set(list)
}

// kitFactOf takes a value as the flag of that name does.
func kitFactOf(name string) func(cty.Value) (string, error) {
	return func(v cty.Value) (string, error) {
		_, err := kitFactNamed(name).read(v.AsString())
		return v.AsString(), err
	}
}

func wholeIn(lo, hi int) func(cty.Value) (string, error) {
	return func(v cty.Value) (string, error) {
		f, _ := v.AsBigFloat().Float64()
		if f != float64(int(f)) || int(f) < lo || int(f) > hi {
			return "", fmt.Errorf("write a whole number from %d to %d", lo, hi)
		}
		return strconv.Itoa(int(f)), nil
	}
}

// config is what the configuration file says.
type config struct {
	path     string
	there    bool
	value    map[string]string // as the program uses it
	written  map[string]string // as it stands in the file
	line     map[string]int
	problems []string
}

// configPath is where the system expects a program's settings:
// $XDG_CONFIG_HOME or ~/.config (XDG Base Directory Specification), on macOS
// ~/Library/Application Support, on Windows %AppData%.
func configPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("this system names no folder for settings: %w", err)
	}
	return filepath.Join(dir, "fishplate", "config.hcl"), nil
}

// readConfig reads the configuration file. What is wrong in it is listed and
// left out; nothing in it can stop a hunt.
func readConfig() *config {
	c := &config{value: map[string]string{}, written: map[string]string{}, line: map[string]int{}}
	var err error
	if c.path, err = configPath(); err != nil {
		return c // nowhere to look, so nothing is set
	}
	text, err := readOutside(c.path, outside.Settings)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		c.problems = append(c.problems, fmt.Sprintf("the settings in %s could not be read: %v", c.path, err))
	default:
		c.there = true
		c.parse(text)
	}
	return c
}

func (c *config) parse(text []byte) {
	if err := outside.Settings.HCL(text); err != nil {
		where := c.path
		if f := (*outside.Fault)(nil); errors.As(err, &f) {
			where, err = fmt.Sprintf("%s:%d:%d", c.path, f.Line, f.Column), fmt.Errorf("%s; %s", f.What, f.Fix)
		}
		c.problems = append(c.problems, fmt.Sprintf("%s: %v (no settings are taken from this file)", where, err))
		return
	}
	file, diags := hclsyntax.ParseConfig(text, c.path, hcl.InitialPos)
	if diags.HasErrors() {
		d := diags.Errs()[0].(*hcl.Diagnostic)
		c.problem(d.Subject, d.Summary+": "+d.Detail+" (no settings are taken from this file)")
		return
	}
	body := file.Body.(*hclsyntax.Body)
	for _, b := range body.Blocks {
		r := b.TypeRange
		c.problem(&r, fmt.Sprintf("%s { } does not belong here; settings are lines like  bell = true", b.Type))
	}
	known := map[string]*setting{}
	var keys []string
	list := settings()
	for i := range list {
		known[list[i].key] = &list[i]
		keys = append(keys, list[i].key)
	}
	attrs, _ := hcl.Body(body).JustAttributes() // what it complains of was said above
	for _, name := range sortedAttrs(attrs) {
		a := attrs[name]
		s := known[name]
		if s == nil {
			fix := "known are " + strings.Join(keys, ", ")
			if n := nearest(name, keys); n != "" {
				fix = fmt.Sprintf("did you mean %q?", n)
			}
			c.problem(&a.NameRange, fmt.Sprintf("there is no setting %q; %s", name, fix))
			continue
		}
		c.take(s, a, text)
	}
}

// sortedAttrs gives names in the order of the file.
func sortedAttrs(attrs hcl.Attributes) []string {
	var out []string
	for name := range attrs {
		i := len(out)
		for i > 0 && attrs[out[i-1]].Range.Start.Byte > attrs[name].Range.Start.Byte {
			i--
		}
		out = append(out[:i], append([]string{name}, out[i:]...)...)
	}
	return out
}

// take reads the value of a key.
func (c *config) take(s *setting, a *hcl.Attribute, text []byte) {
	at := a.Expr.Range()
	example := fmt.Sprintf("write for example  %s = %s", s.key, s.example)
	v, diags := a.Expr.Value(nil)
	if diags.HasErrors() {
		c.problem(&at, fmt.Sprintf("%s has no value that can be read; %s", s.key, example))
		return
	}
	v, err := convert.Convert(v, s.kind)
	if err != nil || v.IsNull() || !v.IsWhollyKnown() {
		c.problem(&at, fmt.Sprintf("%s is not written like this; %s", s.key, example))
		return
	}
	value, err := s.check(v)
	if err != nil {
		c.problem(&at, s.key+": "+err.Error())
		return
	}
	c.value[s.key], c.line[s.key] = value, a.NameRange.Start.Line
	c.written[s.key] = strings.TrimSpace(string(at.SliceBytes(text)))
}

func (c *config) problem(at *hcl.Range, what string) {
	if at == nil {
		c.problems = append(c.problems, c.path+": "+what)
		return
	}
	c.problems = append(c.problems, fmt.Sprintf("%s:%d:%d: %s", at.Filename, at.Start.Line, at.Start.Column, what))
}

// config reads the settings and says what is wrong with them.
func (w *world) config() *config {
	c := readConfig()
	for _, p := range c.problems {
		fmt.Fprintf(w.err, "fishplate: %s\n", p)
	}
	return c
}

// settle reads the settings and puts them where the command line says nothing:
// into the flags, and into what the user owns (nil where nobody asks).
func (w *world) settle(flags *pflag.FlagSet, kit *kitFlag) *config {
	c := w.config()
	c.flags(flags)
	if kit != nil {
		c.kit(kit)
	}
	c.colours()
	return c
}

// flags sets the flags that the command line left out.
func (c *config) flags(flags *pflag.FlagSet) {
	given := map[string]bool{}
	flags.Visit(func(f *pflag.Flag) { given[f.Name] = true })
	set := func(name, value string) {
		if flags.Lookup(name) != nil && !given[name] {
			_ = flags.Set(name, value) // it was checked when it was read
		}
	}
	for _, s := range settings() {
		value, ok := c.value[s.key]
		if !ok || s.flag == "" || s.key == "background" || s.flag == "meters" || s.flag == "meter" ||
			kitFactNamed(s.flag) != nil {
			continue // these need more than their value
		}
		set(s.flag, value)
	}
	if b := c.value["background"]; (b == "light" || b == "dark") && os.Getenv("FISHPLATE_BACKGROUND") == "" &&
		!given["light"] && !given["dark"] {
		set(b, "true")
	}
	if c.value["units"] == "mm" {
		set("mm", "true")
	}
}

// kit puts what the settings say of meters into what the user owns, where the
// command line says nothing.
func (c *config) kit(k *kitFlag) {
	if list, ok := c.value["meters"]; ok && !k.given {
		_ = k.Set(list) // it was checked when it was read
		k.given, k.configured = false, true
	}
	if name, ok := c.value["meter"]; ok && k.kit.Meter == "" && k.kit.Own == nil {
		k.kit.Meter = name
	}
	for _, set := range settings() {
		f, value := kitFactNamed(set.flag), c.value[set.key]
		if f == nil || k.told[f.name] || value == "" || f.onlyYes && value != "true" {
			continue
		}
		change, _ := f.read(value) // it was checked when it was read
		change(&k.kit)
		k.noted = k.noted || f.name != methodFlag && f.name != blockFlag
	}
}

// colours sets how many colours the screens may use.
func (c *config) colours() {
	profiles := map[string]termenv.Profile{"never": termenv.Ascii, "16": termenv.ANSI, "256": termenv.ANSI256,
		"true": termenv.TrueColor}
	if p, ok := profiles[c.value["colour"]]; ok {
		lipgloss.SetColorProfile(p)
	}
}
