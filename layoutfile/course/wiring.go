package course

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// Entry is what lies under the table (a supply, a bus or strip, a toggle, a
// feeder, a block, an accessory, an insulated rail) in the words of the file.
type Entry struct {
	Kind, Name string
	Values     map[string]string // by attribute, without quotes; an empty one is left out of the file
	Places     map[string]Anchor // by attribute
}

// form is how the value of an attribute is written.
type form int

const (
	quoted form = iota
	number
	whole1
	wire
	length
	place
)

// attr is an attribute of a kind, with the bounds of a number.
type attr struct {
	name   string
	form   form
	lo, hi float64
}

var hang = []attr{{name: "supply"}, {name: "bus"}, {name: "terminal", form: whole1, lo: 1, hi: 100}, {name: "toggle"}}

func busAttrs() []attr {
	return append(slices.Clone(hang), attr{name: "terminals", form: whole1, lo: 1, hi: 100}, attr{name: "wire", form: wire}, attr{name: "length", form: length})
}

// wiring is every kind under the table with its attributes, in the order in
// which they are written. Bounds are those of the file format.
var wiring = map[string][]attr{
	"supply": {{name: "current"}, {name: "volts", form: number, lo: 0.5, hi: 60}, {name: "breaker", form: number, lo: 0.1, hi: 100}, {name: "phase"}, {name: "common"}},
	"bus":    append(busAttrs(), attr{name: "ring", form: length}), "strip": busAttrs(),
	"toggle": append(slices.Clone(hang[:3]), attr{name: "other"}, attr{name: "switches"}, attr{name: "middle"}, attr{name: "usually"}),
	"feeder": append(append([]attr{{name: "at", form: place}}, hang...), attr{name: "wire", form: wire}, attr{name: "length", form: length}, attr{name: "hot"}, attr{name: "common"}),
	"block":  {{name: "from", form: place}, {name: "to", form: place}, {name: "toggle"}},
	"accessory": append([]attr{{name: "kind"}, {name: "volts", form: number, lo: 0.5, hi: 60}, {name: "amps", form: number, lo: 0.001, hi: 20},
		{name: "cold", form: number, lo: 0.01, hi: 1e7}, {name: "at", form: place}, {name: "hot"}, {name: "common"}}, hang...),
	"insulated_rail": {{name: "rail"}, {name: "from", form: place}, {name: "to", form: place}, {name: "tap", form: place}, {name: "works"},
		{name: "wire", form: wire}, {name: "length", form: length}},
}

// kindsUnder are the kinds under the table in the order of a list of them.
var kindsUnder = []string{"supply", "bus", "strip", "toggle", "feeder", "block", "accessory", "insulated_rail"}

// Spoken is a kind as people say it.
func Spoken(kind string) string {
	switch kind {
	case "insulated_rail":
		return "insulated rail"
	case "strip":
		return "terminal strip"
	}
	return kind
}

// Tidy checks an answer for an attribute and gives it as it is written: "14"
// is "14 AWG" for a wire and, for its length, 14 ft (0.75 is mm2 and meters in
// a layout in millimeters).
func (c *Course) Tidy(kind, name, value string) (string, error) {
	i := slices.IndexFunc(wiring[kind], func(a attr) bool { return a.name == name })
	if i < 0 {
		return "", fmt.Errorf("a %s has no %s", Spoken(kind), name)
	}
	return c.tidy(&wiring[kind][i], strings.TrimSpace(value))
}

func (c *Course) tidy(a *attr, v string) (string, error) {
	if v == "" || a.form == quoted {
		return v, nil
	}
	bare, isBare := numberIn(v)
	switch a.form {
	case number, whole1:
		n, err := strconv.ParseFloat(strings.TrimRight(bare, " VvAa"), 64)
		if err != nil || !(n >= a.lo && n <= a.hi) || a.form == whole1 && n != float64(int(n)) {
			kind := "number"
			if a.form == whole1 {
				kind = "whole number"
			}
			return "", fmt.Errorf("%s: give a %s from %g to %g", a.name, kind, a.lo, a.hi)
		}
		return layoutfile.Figure(n), nil
	case wire:
		if isBare && !c.now.Metric && !strings.Contains(bare, ".") {
			v = bare + " AWG"
		} else if isBare {
			v = bare + " mm2"
		}
		if err := layoutfile.CheckWire(v); err != nil {
			return "", fmt.Errorf("wire: %w", err)
		}
	case length:
		if isBare && c.now.Metric {
			v = bare + " m"
		} else if isBare {
			v = bare + " ft"
		}
		if _, err := layoutfile.ReadLength(v, c.now.Metric); err != nil {
			return "", fmt.Errorf("length: %w", err)
		}
	}
	return v, nil
}

// numberIn gives a text with a decimal point for a comma, and whether it is a
// number and no more.
func numberIn(s string) (string, bool) {
	s = strings.ReplaceAll(s, ",", ".")
	_, err := strconv.ParseFloat(s, 64)
	return s, err == nil
}

// Under lists what lies under the table, by kind.
func (c *Course) Under() []*Thing {
	var out []*Thing
	for _, kind := range kindsUnder {
		for i := range c.now.Things {
			if t := &c.now.Things[i]; t.Kind == kind {
				out = append(out, t)
			}
		}
	}
	return out
}

// Thing finds a thing by its ID, nil when it is gone.
func (c *Course) Thing(id int) *Thing {
	for i := range c.now.Things {
		if c.now.Things[i].ID == id {
			return &c.now.Things[i]
		}
	}
	return nil
}

// Named gives the names of the things of some kinds.
func (c *Course) Named(kinds ...string) []string {
	var out []string
	for _, k := range kinds {
		out = append(out, c.now.labels(k)...)
	}
	return out
}

// Entry gives a thing under the table as it stands.
func (c *Course) Entry(id int) (Entry, bool) {
	t := c.Thing(id)
	if t == nil || wiring[t.Kind] == nil {
		return Entry{}, false
	}
	e := Entry{Kind: t.Kind, Name: t.Label.Text, Values: map[string]string{}, Places: map[string]Anchor{}}
	for _, f := range t.Fields {
		if f.Value.At.Piece != 0 {
			e.Places[f.Name] = f.Value.At
		} else {
			e.Values[f.Name] = f.value()
		}
	}
	return e, true
}

// value is the text of a field without its quotes.
func (f *Field) value() string {
	if s, err := unquote(f.Value.Text); err == nil {
		return s
	}
	return strings.Trim(f.Value.Text, `"`)
}

// Put adds a thing under the table (id 0) or changes one: all its values and
// places are those of the entry. What refers to it by name follows a new name.
func (c *Course) Put(id int, e Entry) error {
	what := Spoken(e.Kind) + " " + strings.TrimSpace(e.Name)
	if id != 0 {
		what = "change of " + what
	}
	return c.change(what, func(s *State) error { return c.put(s, id, e) })
}

func (c *Course) put(s *State, id int, e Entry) error {
	attrs := wiring[e.Kind]
	if attrs == nil {
		return fmt.Errorf("%q lies not under the table", e.Kind)
	}
	name, err := c.underName(s, id, e.Kind, e.Name)
	if err != nil {
		return err
	}
	was, _ := c.Entry(id)
	var fields []Field
	for i := range attrs {
		if a := &attrs[i]; a.form != place && id != 0 && was.Values[a.name] == e.Values[a.name] {
			continue // as it is written, whatever that is
		}
		f, err := c.fieldFor(&attrs[i], &e)
		if err != nil {
			return err
		}
		fields = append(fields, f)
	}
	if id == 0 {
		fields = slices.DeleteFunc(fields, func(f Field) bool { return f.Value.Text == "" && f.Value.At.Piece == 0 })
		c.add(s, Thing{Kind: e.Kind, Label: Ref{Text: name}, Fields: fields})
		return nil
	}
	i := slices.IndexFunc(s.Things, func(t Thing) bool { return t.ID == id && t.Kind == e.Kind })
	if i < 0 {
		return errors.New("that is gone already")
	}
	t := &s.Things[i]
	if old := t.Label.Text; old != name {
		t.Label = Ref{Text: name}
		s.renamed(e.Kind, old, name)
	}
	t.merge(fields)
	return nil
}

// fieldFor writes a value of an entry.
func (c *Course) fieldFor(a *attr, e *Entry) (Field, error) {
	if a.form == place {
		return placeField(a.name, e.Places[a.name]), nil
	}
	v, err := c.tidy(a, strings.TrimSpace(e.Values[a.name]))
	if err != nil || v == "" {
		return raw(a.name, ""), err
	}
	if a.form == number || a.form == whole1 {
		return raw(a.name, v), nil
	}
	return raw(a.name, layoutfile.Quote(v)), nil
}

// merge takes new values over. One that says the same stays as it was written.
func (t *Thing) merge(fields []Field) {
	old := t.Fields
	t.Fields = slices.Clone(t.Fields)
	for _, f := range fields {
		i := slices.IndexFunc(old, func(o Field) bool { return o.Name == f.Name })
		switch {
		case i < 0:
			if f.Value.Text != "" || f.Value.At.Piece != 0 {
				t.Fields = append(t.Fields, f)
			}
		case f.Value.At.Piece != 0 && f.Value.At == old[i].Value.At, f.Value.At.Piece == 0 && old[i].Value.At.Piece == 0 && f.value() == old[i].value():
		default:
			t.Fields[i] = f // an empty one takes the line out of the file
		}
	}
}

// set gives one value of a thing another text, as it is written.
func (t *Thing) set(name, text string) {
	t.merge([]Field{raw(name, text)})
}

// refers says whether an attribute of a kind names a thing of another kind.
func refers(in, attr, kind string) bool {
	switch kind {
	case "supply":
		return attr == "supply" || attr == "other" || attr == "common" && in == "supply"
	case "bus", "strip":
		return attr == "bus"
	case "toggle":
		return attr == "toggle"
	case "accessory":
		return attr == "works"
	}
	return false
}

func (s *State) renamed(kind, old, name string) {
	for i := range s.Things {
		t := &s.Things[i]
		for _, f := range t.Fields {
			if f.Value.At.Piece == 0 && refers(t.Kind, f.Name, kind) && f.value() == old {
				t.set(f.Name, layoutfile.Quote(name))
			}
		}
	}
}

// ownNames are the kinds that need names of their own among each other.
var ownNames = []string{"supply", "bus", "strip", "toggle", "feeder", "accessory"}

// underName checks the name of a thing under the table.
func (c *Course) underName(s *State, id int, kind, name string) (string, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		return "", fmt.Errorf("give the %s a name", Spoken(kind))
	}
	if len(name) > 64 {
		return "", errors.New("this name is too long: 64 bytes at most")
	}
	own := slices.Contains(ownNames, kind)
	for i := range s.Things {
		t := &s.Things[i]
		same := t.Kind == kind || own && slices.Contains(ownNames, t.Kind)
		if same && t.ID != id && strings.TrimSpace(t.Label.Text) == name {
			return "", fmt.Errorf("a %s is called %q already: give it another name", Spoken(t.Kind), name)
		}
	}
	if !own || kind == "supply" || kind == "feeder" {
		return name, nil
	}
	if slices.Contains(s.names(), name) || c.view.layout != nil && c.view.layout.FindPiece(name) >= 0 {
		return "", fmt.Errorf("the track has the name %q already: give the %s another", name, Spoken(kind))
	}
	return name, nil
}

// NextName is the name that a new thing of a kind would get: F1, T1, B1, S1 or
// the word with a number.
func (c *Course) NextName(kind, word string) string {
	letter := map[string]string{"supply": "T", "bus": "B", "strip": "P", "toggle": "S", "feeder": "F"}[kind]
	if letter == "" {
		letter = orElse(word, Spoken(kind)) + " "
	}
	for n := 1; ; n++ {
		name := letter + strconv.Itoa(n)
		if n == 1 && letter == word+" " {
			name = word
		}
		if _, err := c.underName(&c.now, 0, kind, name); err == nil {
			return name
		}
	}
}

// forget takes a thing out, and every word of it that can be left out: the
// toggle of a block, the other supply of a toggle, a joined common.
func (s *State) forget(id int) {
	i := slices.IndexFunc(s.Things, func(t Thing) bool { return t.ID == id })
	if i < 0 {
		return
	}
	t := s.Things[i]
	s.Things = slices.Delete(slices.Clone(s.Things), i, i+1)
	for k := range s.Things {
		u := &s.Things[k]
		for _, f := range u.Fields {
			loose := f.Name == "other" || f.Name == "common" || f.Name == "toggle" && u.Kind == "block"
			if loose && f.Value.At.Piece == 0 && refers(u.Kind, f.Name, t.Kind) && f.value() == t.Label.Text {
				u.set(f.Name, "")
				if f.Name == "other" { // without it there is no third position
					u.set("middle", "")
					if f := (Field{Value: u.field("usually")}); f.value() == "middle" {
						u.set("usually", "")
					}
				}
			}
		}
	}
}

// Tell says what lies under the table, with what matters about it.
func (c *Course) Tell(t *Thing) string {
	e, ok := c.Entry(t.ID)
	if !ok {
		return c.Describe(t)
	}
	s := c.Describe(t)
	v := e.Values
	if o, hangs := e.Outlet(); hangs {
		s += " on " + o.String()
	}
	if at := e.Places["at"]; at.Piece != 0 {
		s += " at " + c.now.PlaceName(at)
	}
	switch t.Kind {
	case "supply":
		s += fmt.Sprintf(": %s V %s, breaker %s A", v["volts"], v["current"], v["breaker"])
	case "bus", "strip":
		s += fmt.Sprintf(": %s terminals, %s, %s", v["terminals"], v["wire"], v["length"])
		if v["ring"] != "" {
			s += ", a ring"
		}
	case "toggle":
		s += ": " + orElse(v["switches"], "hot")
		if v["other"] != "" {
			s += ", else " + v["other"]
		}
		if v["middle"] != "" {
			s += ", off in the middle"
		}
	case "feeder":
		s += fmt.Sprintf(": %s, %s", v["wire"], v["length"])
	case "accessory":
		s += fmt.Sprintf(": %s, %s V %s A", v["kind"], v["volts"], v["amps"])
	case "block":
		s += fmt.Sprintf(": %s to %s", c.now.PlaceName(e.Places["from"]), c.now.PlaceName(e.Places["to"]))
		if v["toggle"] != "" {
			s += ", toggle " + v["toggle"]
		}
	case "insulated_rail":
		s += fmt.Sprintf(": %s, %s to %s, works %s", v["rail"], c.now.PlaceName(e.Places["from"]), c.now.PlaceName(e.Places["to"]), v["works"])
	}
	return s
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// GoTo takes the cursor to where a thing lies; false when it lies nowhere.
func (c *Course) GoTo(id int) bool {
	t := c.Thing(id)
	return t != nil && c.goTo(t.place())
}

// Worked gives the accessories that an insulated rail could still work.
func (c *Course) Worked() []string {
	taken := map[string]bool{}
	for i := range c.now.Things {
		if t := &c.now.Things[i]; t.Kind == "insulated_rail" {
			f := Field{Value: t.field("works")}
			taken[f.value()] = true
		}
	}
	var out []string
	for i := range c.now.Things {
		if t := &c.now.Things[i]; t.Kind == "accessory" && t.field("at").At.Piece == 0 && !taken[t.Label.Text] {
			out = append(out, t.Label.Text)
		}
	}
	return out
}

// railsOf gives the construction of a piece, nil where it is not known.
func (c *Course) railsOf(piece int) *track.Construction {
	if i := c.Index(piece); i >= 0 {
		return c.view.layout.Pieces[i].Construction
	}
	return nil
}
