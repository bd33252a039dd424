package course

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// Entry is what lies under the table (a supply, a bus or strip, a toggle, a
// feeder, a block, an accessory, an insulated rail) in the words of the file.
type Entry struct {
	Kind, Name string
	Values     map[string]string // by attribute, without quotes; an empty one is left out of the file
	Places     map[string]Anchor // by attribute
}

// Spoken is a kind as people say it.
func Spoken(kind string) string {
	if b := schema.Find(kind); b != nil {
		return b.Spoken()
	}
	return kind
}

// under is what the format says of a kind that lies under the table, nil for
// any other.
func under(kind string) *schema.Block {
	if b := schema.Find(kind); b != nil && b.Under {
		return b
	}
	return nil
}

// Tidy checks an answer for an attribute and gives it as it is written: "14"
// is "14 AWG" for a wire and, for its length, 14 ft (0.75 is mm2 and meters in
// a layout in millimeters).
func (wiring Wiring) Tidy(kind, name, value string) (string, error) {
	b := under(kind)
	if b == nil || b.Attr(name) == nil {
		return "", fmt.Errorf("a %s has no %s", Spoken(kind), name)
	}
	return wiring.tidy(b.Attr(name), strings.TrimSpace(value))
}

func (wiring Wiring) tidy(a *schema.Attr, v string) (string, error) {
	if v == "" {
		return "", nil
	}
	bare, isBare := numberIn(v)
	metric := wiring.c.now.Metric
	switch a.Kind {
	case schema.Number, schema.Whole:
		n, err := strconv.ParseFloat(strings.TrimRight(bare, " VvAa"), 64)
		if err != nil || !(n >= a.Lo && n <= a.Hi) || a.Kind == schema.Whole && n != float64(int(n)) {
			kind := "number"
			if a.Kind == schema.Whole {
				kind = "whole number"
			}
			return "", fmt.Errorf("%s: give a %s from %g to %g", a.Name, kind, a.Lo, a.Hi)
		}
		return sheet.Figure(n), nil
	case schema.Wire:
		switch {
		case isBare && !metric && !strings.Contains(bare, "."):
			v = bare + " AWG"
		case isBare:
			v = bare + " mm2"
		}
		if err := layoutfile.CheckWire(v); err != nil {
			return "", fmt.Errorf("wire: %w", err)
		}
	case schema.Length:
		switch {
		case isBare && metric:
			v = bare + " m"
		case isBare:
			v = bare + " ft"
		}
		if _, err := sheet.ReadLength(v, metric); err != nil {
			return "", fmt.Errorf("%s: %w", a.Name, err)
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
func (wiring Wiring) Under() []*Thing {
	var out []*Thing
	for _, b := range schema.Wiring() {
		for i := range wiring.c.now.Things {
			if t := &wiring.c.now.Things[i]; t.Kind == b.Name {
				out = append(out, t)
			}
		}
	}
	return out
}

// Thing finds a thing by its ID, nil when it is gone.
func (things Things) Thing(id int) *Thing {
	for i := range things.c.now.Things {
		if things.c.now.Things[i].ID == id {
			return &things.c.now.Things[i]
		}
	}
	return nil
}

// Named gives the names of the things of some kinds.
func (things Things) Named(kinds ...string) []string {
	var out []string
	for _, k := range kinds {
		out = append(out, things.c.now.labels(k)...)
	}
	return out
}

// Entry gives a thing under the table as it stands.
func (wiring Wiring) Entry(id int) (Entry, bool) {
	t := wiring.c.Things().Thing(id)
	if t == nil || under(t.Kind) == nil {
		return Entry{}, false
	}
	e := Entry{Kind: t.Kind, Name: t.Label.Text, Values: map[string]string{}, Places: map[string]Anchor{}}
	for _, f := range t.Fields {
		if f.placed() {
			e.Places[f.Name] = f.Place.At
		} else {
			e.Values[f.Name] = f.said()
		}
	}
	return e, true
}

// Put adds a thing under the table (id 0) or changes one: all its values and
// places are those of the entry. What refers to it by name follows a new name.
func (wiring Wiring) Put(id int, e Entry) error {
	what := Spoken(e.Kind) + " " + strings.TrimSpace(e.Name)
	if id != 0 {
		what = "change of " + what
	}
	return wiring.c.change(what, func(s *State) error { return wiring.put(s, id, e) })
}

func (wiring Wiring) put(s *State, id int, e Entry) error {
	spec := under(e.Kind)
	if spec == nil {
		return fmt.Errorf("%q lies not under the table", e.Kind)
	}
	name, err := wiring.underName(s, id, e.Kind, e.Name)
	if err != nil {
		return &Wrong{Name, err}
	}
	was, _ := wiring.Entry(id)
	var fields []Field
	for i := range spec.Attrs {
		if a := &spec.Attrs[i]; !a.Kind.Place() && id != 0 && was.Values[a.Name] == e.Values[a.Name] {
			continue // as it is written, whatever that is
		}
		f, err := wiring.fieldFor(&spec.Attrs[i], &e)
		if err != nil {
			return err
		}
		fields = append(fields, f)
	}
	if id == 0 {
		t := Thing{Kind: e.Kind, Label: Ref{Text: name}}
		t.put(fields...)
		wiring.c.Things().add(s, t)
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
	t.put(fields...)
	return nil
}

// fieldFor writes a value of an entry.
func (wiring Wiring) fieldFor(a *schema.Attr, e *Entry) (Field, error) {
	if a.Kind.Place() {
		return placeField(a.Name, e.Places[a.Name]), nil
	}
	v, err := wiring.tidy(a, strings.TrimSpace(e.Values[a.Name]))
	switch {
	case err != nil:
		return Field{}, &Wrong{a.Name, err}
	case v == "":
		return Field{Name: a.Name}, nil
	case a.Kind == schema.Number || a.Kind == schema.Whole:
		return valueField(a.Name, sheet.ParseValue(v)), nil
	}
	return textField(a.Name, v), nil
}

// names says whether a field of a thing names another thing.
func (t *Thing) names(f *Field, kind, label string) bool {
	b := schema.Find(t.Kind)
	return b != nil && !f.placed() && b.Names(f.Name, kind) && f.said() == label
}

func (s *State) renamed(kind, old, name string) {
	for i := range s.Things {
		t := &s.Things[i]
		for _, f := range t.Fields {
			if t.names(&f, kind, old) {
				t.put(textField(f.Name, name))
			}
		}
	}
}

// underName checks the name of a thing under the table.
func (wiring Wiring) underName(s *State, id int, kind, name string) (string, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		return "", fmt.Errorf("give the %s a name", Spoken(kind))
	}
	if len(name) > 64 {
		return "", errors.New("this name is too long: 64 bytes at most")
	}
	own := under(kind).Own
	for i := range s.Things {
		t := &s.Things[i]
		same := t.Kind == kind || own && under(t.Kind) != nil && under(t.Kind).Own
		if same && t.ID != id && strings.TrimSpace(t.Label.Text) == name {
			return "", fmt.Errorf("a %s is called %q already: give it another name", Spoken(t.Kind), name)
		}
	}
	if !own || kind == "supply" || kind == "feeder" {
		return name, nil
	}
	if slices.Contains(s.names(), name) || wiring.c.view.layout != nil && wiring.c.view.layout.FindPiece(name) >= 0 {
		return "", fmt.Errorf("the track has the name %q already: give the %s another", name, Spoken(kind))
	}
	return name, nil
}

// NextName is the name that a new thing of a kind would get: F1, T1, B1, S1 or
// the word with a number.
func (wiring Wiring) NextName(kind, word string) string {
	letter := under(kind).Letter
	if letter == "" {
		letter = orElse(word, Spoken(kind)) + " "
	}
	for n := 1; ; n++ {
		name := letter + strconv.Itoa(n)
		if n == 1 && letter == word+" " {
			name = word
		}
		if _, err := wiring.underName(&wiring.c.now, 0, kind, name); err == nil {
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
			if !loose || !u.names(&f, t.Kind, t.Label.Text) {
				continue
			}
			u.put(Field{Name: f.Name})
			if f.Name == "other" { // without it there is no third position
				u.put(Field{Name: "middle"})
				if u.said("usually") == "middle" {
					u.put(Field{Name: "usually"})
				}
			}
		}
	}
}

// Tell says what lies under the table, with what matters about it.
func (wiring Wiring) Tell(t *Thing) string {
	e, ok := wiring.Entry(t.ID)
	if !ok {
		return wiring.c.Things().Describe(t)
	}
	s := wiring.c.Things().Describe(t)
	v := e.Values
	if o, hangs := e.Outlet(); hangs {
		s += " on " + o.String()
	}
	if at := e.Places["at"]; at.Piece != 0 {
		s += " at " + wiring.c.now.PlaceName(at)
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
		s += fmt.Sprintf(": %s to %s", wiring.c.now.PlaceName(e.Places["from"]), wiring.c.now.PlaceName(e.Places["to"]))
		if v["toggle"] != "" {
			s += ", toggle " + v["toggle"]
		}
	case "insulated_rail":
		s += fmt.Sprintf(": %s, %s to %s, works %s", v["rail"], wiring.c.now.PlaceName(e.Places["from"]),
			wiring.c.now.PlaceName(e.Places["to"]), v["works"])
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
func (things Things) GoTo(id int) bool {
	t := things.Thing(id)
	return t != nil && things.c.Cursor().goTo(t.place())
}

// Worked gives the accessories that an insulated rail could still work.
func (wiring Wiring) Worked() []string {
	taken := map[string]bool{}
	for i := range wiring.c.now.Things {
		if t := &wiring.c.now.Things[i]; t.Kind == "insulated_rail" {
			taken[t.said("works")] = true
		}
	}
	var out []string
	for i := range wiring.c.now.Things {
		if t := &wiring.c.now.Things[i]; t.Kind == "accessory" && t.at("at").Piece == 0 && !taken[t.Label.Text] {
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
