package course

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// Spot is where the cursor stands, as a place to hang something on: the end of
// the piece behind it, else the start of the piece before it.
func (things Things) Spot() (Anchor, error) {
	if p := things.c.Behind(); p != nil {
		if p.out() != "" {
			return p.exit(), nil
		}
		return Anchor{Piece: p.ID}, nil
	}
	if p := things.c.Ahead(); p != nil {
		return p.entry(), nil
	}
	return Anchor{}, errors.New("lay a piece first: there is nothing to put it on")
}

// AtSpot lists what hangs at the joint where the cursor stands, from either
// side, and on the piece behind it.
func (things Things) AtSpot() []*Thing {
	here, err := things.Spot()
	if err != nil {
		return nil
	}
	other := things.c.view.meets[here]
	var out []*Thing
	for i := range things.c.now.Things {
		t := &things.c.now.Things[i]
		if at := t.place(); t.Kind != "hidden" && t.Kind != "module" && at.Piece != 0 &&
			(at == here || at == other || at == Anchor{Piece: here.Piece}) {
			out = append(out, t)
		}
	}
	return out
}

// Describe says a thing in a few words: "feeder F1", "landmark station".
func (things Things) Describe(t *Thing) string {
	switch t.Kind {
	case "note":
		return "note: " + t.said("text")
	case "insulated":
		return "insulated " + t.said("rails")
	case "history":
		return "history"
	}
	if strings.HasPrefix(t.Label.Text, Spoken(t.Kind)+" ") {
		return t.Label.Text // "block 1"
	}
	return Spoken(t.Kind) + " " + t.Label.Text
}

func (s *State) labels(kind string) []string {
	var out []string
	for i := range s.Things {
		if s.Things[i].Kind == kind {
			out = append(out, s.Things[i].Label.Text)
		}
	}
	return out
}

// freeLabel gives the first of F1, F2, ... that no thing of the kind has.
func (s *State) freeLabel(kind, letter string) string {
	taken := s.labels(kind)
	for n := 1; ; n++ {
		if name := letter + strconv.Itoa(n); !slices.Contains(taken, name) {
			return name
		}
	}
}

// Supplies lists the names of the supplies.
func (wiring Wiring) Supplies() []string { return wiring.c.now.labels("supply") }

// Feeders lists the names of the feeders.
func (wiring Wiring) Feeders() []string { return wiring.c.now.labels("feeder") }

// NextFeeder and NextSupply are the names that a new one would get.
func (wiring Wiring) NextFeeder() string { return wiring.c.now.freeLabel("feeder", "F") }

// NextSupply is the name that a new supply would get.
func (wiring Wiring) NextSupply() string { return wiring.c.now.freeLabel("supply", "T") }

func (things Things) label(s *State, kind, name string) (string, error) {
	name = strings.TrimSpace(name)
	switch {
	case name == "":
		return "", fmt.Errorf("give the %s a name", kind)
	case len(name) > 64:
		return "", errors.New("this name is too long: 64 bytes at most")
	case slices.Contains(s.labels(kind), name):
		return "", fmt.Errorf("a %s is called %q already", kind, name)
	}
	return name, nil
}

func (things Things) add(s *State, t Thing) {
	t.ID, t.Block = things.c.id(), -1
	s.Things = append(s.Things, t)
}

// AddSupply adds a supply.
func (wiring Wiring) AddSupply(name string, ac bool, volts, breaker float64) error {
	current := "dc"
	if ac {
		current = "ac"
	}
	return wiring.Put(0, Entry{Kind: "supply", Name: name, Values: map[string]string{"current": current,
		"volts": sheet.Figure(volts), "breaker": sheet.Figure(breaker)}})
}

// AddFeeder puts a feeder at the joint where the cursor stands. wire is a size
// like "16 AWG" or "0.75 mm2", length a length one way.
func (wiring Wiring) AddFeeder(name, supply, wire, length string) error {
	at, err := wiring.c.Things().Spot()
	if err != nil {
		return err
	}
	if !slices.Contains(wiring.Supplies(), supply) {
		return fmt.Errorf("no supply is called %q", supply)
	}
	return wiring.Put(0, Entry{Kind: "feeder", Name: name, Values: map[string]string{"supply": supply, "wire": wire,
		"length": length}, Places: map[string]Anchor{"at": at}})
}

// AddInsulated insulates rails at the joint where the cursor stands; they are
// named as on the piece behind it.
func (things Things) AddInsulated(rails []track.Rail) error {
	at, err := things.Spot()
	if err != nil {
		return err
	}
	if _, joined := things.c.view.meets[at]; !joined {
		return errors.New("only a joint can be insulated: lay the next piece, or close the run, first")
	}
	if len(rails) == 0 {
		return errors.New("say which rail is insulated")
	}
	for _, t := range things.AtSpot() {
		if t.Kind == "insulated" {
			return errors.New("this joint is insulated already (y takes things away)")
		}
	}
	return things.c.change("insulated joint", func(s *State) error {
		things.add(s, Thing{Kind: "insulated", Label: Ref{At: at}, Fields: []Field{railsField(rails)}})
		return nil
	})
}

// AddLandmark puts a landmark where the cursor stands.
func (things Things) AddLandmark(name string) error {
	at, err := things.Spot()
	if err != nil {
		return err
	}
	return things.c.change("landmark "+name, func(s *State) error {
		name, err := things.label(s, "landmark", name)
		if err != nil {
			return err
		}
		things.add(s, Thing{Kind: "landmark", Label: Ref{Text: name}, Fields: []Field{placeField("at", at)}})
		return nil
	})
}

// AddNote notes something about the piece behind the cursor.
func (things Things) AddNote(text string) error {
	p := things.c.Behind()
	text = strings.TrimSpace(text)
	switch {
	case p == nil || p.Words.Again != "":
		return errNoPiece
	case text == "":
		return errors.New("type what there is to note")
	case len(text) > 1000:
		return errors.New("this note is too long: 1000 bytes at most")
	}
	id := p.ID
	return things.c.change("note", func(s *State) error {
		things.add(s, Thing{Kind: "note", Label: Ref{At: Anchor{Piece: id}}, Fields: []Field{textField("text", text)}})
		return nil
	})
}

// BeginHidden begins a hidden stretch at the cursor.
func (things Things) BeginHidden(name string, minutes float64) error {
	if a := schema.Find("hidden").Attr("minutes"); minutes < a.Lo || minutes > a.Hi {
		return &Wrong{a.Name, fmt.Errorf("minutes: give how much longer a touch takes there, %g to %g", a.Lo, a.Hi)}
	}
	return things.c.change("hidden stretch "+name, func(s *State) error {
		name, err := things.label(s, "hidden", name)
		if err != nil {
			return err
		}
		h := &Stretch{Name: name, Minutes: minutes, Run: s.Runs[s.Run].Name}
		if s.At > 0 {
			h.After = s.Runs[s.Run].Pieces[s.At-1].ID
		}
		s.Hidden = h
		return nil
	})
}

// EndHidden ends it at the cursor. Where no piece lies between, it is dropped.
func (things Things) EndHidden() error {
	h := things.c.now.Hidden
	if h == nil {
		return errors.New("no hidden stretch was begun")
	}
	if h.Run != things.c.Here().Name {
		return fmt.Errorf("the hidden stretch %s began on run %s: end it there", h.Name, h.Run)
	}
	return things.c.change("end of "+h.Name, func(s *State) error {
		s.Hidden = nil
		r := &s.Runs[s.Run]
		from := 0
		if h.After != 0 {
			from = slices.IndexFunc(r.Pieces, func(p Piece) bool { return p.ID == h.After }) + 1
		}
		own := slices.DeleteFunc(slices.Clone(r.Pieces[min(from, s.At):max(from, s.At)]), func(p Piece) bool {
			return p.Words.Again != ""
		})
		if len(own) == 0 {
			return nil
		}
		things.add(s, Thing{Kind: "hidden", Label: Ref{Text: h.Name},
			Fields: []Field{placeField("from", Anchor{Piece: own[0].ID}),
				placeField("to", Anchor{Piece: own[len(own)-1].ID}), valueField("minutes", sheet.NumberOf(h.Minutes))}})
		return nil
	})
}

// Remove takes a thing away.
func (things Things) Remove(id int) error {
	what := ""
	for i := range things.c.now.Things {
		if things.c.now.Things[i].ID == id {
			what = things.Describe(&things.c.now.Things[i])
		}
	}
	if what == "" {
		return errors.New("that is gone already")
	}
	return things.c.change("taking away "+what, func(s *State) error {
		s.Things = slices.DeleteFunc(s.Things, func(t Thing) bool { return t.ID == id })
		s.boards()
		return nil
	})
}

// boards lets the next stretch of a module that is gone stand for it.
func (s *State) boards() {
	heirs := map[string]string{}
	for i := range s.Things {
		t := &s.Things[i]
		name, on := t.Label.Text, t.said("board")
		switch {
		case t.Kind != "module":
		case on == "":
			heirs[name] = name
		case heirs[on] == "":
			heirs[on], heirs[name] = name, name
			t.put(Field{Name: "board"})
		case heirs[on] != on:
			t.put(textField("board", heirs[on]))
		}
	}
}

// NameIt names the piece behind the cursor; an empty name takes its name away.
func (lays Laying) NameIt(name string) error {
	p := lays.c.Behind()
	if p == nil || p.Words.Again != "" {
		return errNoPiece
	}
	old := *p
	name = strings.TrimSpace(name)
	if name == old.Words.Name {
		return nil
	}
	for i := range lays.c.now.Runs {
		for k := range lays.c.now.Runs[i].Pieces {
			if w := &lays.c.now.Runs[i].Pieces[k].Words; w.Again != "" && w.Again == old.Words.Name {
				return fmt.Errorf("%s is crossed a second time under its name: take that crossing out first",
					old.Words.Name)
			}
		}
	}
	if name != "" {
		others := slices.DeleteFunc(lays.c.now.names(), func(s string) bool { return s == old.Words.Name })
		if err := sheet.CheckName(name, others); err != nil {
			return err
		}
	}
	text := old.Text
	if i := strings.Index(text, " as "); i >= 0 {
		f := strings.Fields(text[i+4:])
		text = strings.TrimSpace(text[:i] + " " + strings.Join(f[1:], " "))
	}
	if name != "" {
		text += " as " + name
	}
	w, err := lays.c.words(text)
	if err != nil {
		return err
	}
	return lays.c.change("name "+name, func(s *State) error {
		r := &s.Runs[s.Run]
		r.Pieces = slices.Clone(r.Pieces)
		n := Piece{ID: old.ID, Row: old.Row, Text: text, Words: w}
		if len(rowsWith(r.Pieces, old.Row)) > 1 {
			n.Row = -1
		}
		r.Pieces[s.At-1] = n
		return nil
	})
}

// Rename gives the run under the cursor another name.
func (c *Course) Rename(name string) error {
	old := c.Here().Name
	name = strings.TrimSpace(name)
	if name == old {
		return nil
	}
	others := slices.DeleteFunc(c.now.names(), func(s string) bool { return s == old })
	if err := sheet.CheckName(name, others); err != nil {
		return err
	}
	return c.change("run "+name, func(s *State) error {
		s.Runs[s.Run].Name = name
		if s.Hidden != nil && s.Hidden.Run == old {
			h := *s.Hidden
			h.Run = name
			s.Hidden = &h
		}
		return nil
	})
}

// About is the name of the layout, its track and the track of the run under the cursor
// (empty: that of the layout).
type About struct{ Name, Construction, RunConstruction string }

// SetAbout changes them. Constructions are checked by the reader of layouts.
func (c *Course) SetAbout(a About) error {
	a.Name = strings.TrimSpace(a.Name)
	if a.Name == "" {
		return errors.New("give the layout a name that you know it by")
	}
	if a == (About{c.now.Name, c.now.Construction, c.Here().Construction}) {
		return nil
	}
	return c.change("the layout's name or track", func(s *State) error {
		s.Name, s.Construction = a.Name, a.Construction
		s.Runs[s.Run].Construction = a.RunConstruction
		return nil
	})
}
