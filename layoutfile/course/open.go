package course

import (
	"encoding/json"
	"errors"
	"fmt"

	"fishplate/diagnose/outside"
	"fishplate/layoutfile"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// Open takes a layout file up for walking.
func Open(f *layoutfile.File) (*Course, error) {
	o := f.Sheet()
	metric := o.Text("units") == "mm"
	c := &Course{text: f.Bytes(), base: o, next: 1, Sizes: StartSizes(metric)}
	c.now = State{Name: o.Text("name"), About: o.Text("about"), Construction: o.Text("construction"), Metric: metric}
	stock := map[string]string{}
	for _, b := range o.Blocks {
		if b.Kind == "stock" {
			stock[b.Label()] = b.Text("piece")
		}
	}
	c.takeStock(stock)
	var ids []int // by piece of the layout
	for i, b := range o.Blocks {
		if b.Kind == "run" {
			r, err := c.opener().openRun(b, i, &ids)
			if err != nil {
				return nil, err
			}
			c.now.Runs = append(c.now.Runs, r)
		}
	}
	at := func(text string) Anchor {
		p, ok := layoutfile.FindPlace(f.Layout, text)
		if !ok || p.Piece >= len(ids) {
			return Anchor{}
		}
		a := Anchor{Piece: ids[p.Piece]}
		if p.End >= 0 {
			a.End = f.Layout.Pieces[p.Piece].Ends[p.End].Label
		}
		return a
	}
	c.opener().openPlaces(o, at)
	if len(c.now.Runs) == 0 {
		return nil, errors.New("the layout has no run of track")
	}
	c.now.At = len(c.now.Runs[0].Pieces)
	c.Sizing().learn()
	c.looking().look()
	return c, nil
}

func (op opener) openRun(b *sheet.Block, block int, ids *[]int) (Run, error) {
	r := Run{Name: b.Label(), Construction: b.Text("construction"), Closes: b.Flag("closes"),
		From: Ref{Text: b.Text("from")}, To: Ref{Text: b.Text("to")}, Block: block}
	for _, row := range b.Pieces() {
		w, err := op.c.words(row.Text)
		if err != nil {
			return r, fmt.Errorf("run %s: %w", r.Name, err)
		}
		for k := 0; k < row.Count; k++ {
			p := Piece{ID: op.c.id(), Row: row.From, Text: row.Text, Words: w}
			if w.Again == "" {
				*ids = append(*ids, p.ID)
			}
			r.Pieces = append(r.Pieces, p)
		}
	}
	return r, nil
}

// openPlaces makes anchors of everything that names a place. Names as they are
// now are kept beside them, so that a text as written stays while it is true.
func (op opener) openPlaces(o *sheet.Sheet, at func(string) Anchor) {
	for i := range op.c.now.Runs {
		r := &op.c.now.Runs[i]
		r.From.At, r.To.At = at(r.From.Text), at(r.To.Text)
	}
	for i := range op.c.now.Runs {
		r := &op.c.now.Runs[i]
		r.From.Was, r.To.Was = op.c.now.endName(r.From.At), op.c.now.endName(r.To.At)
	}
	meets := op.c.now.meets()
	ref := func(text string) Ref {
		a := at(text)
		return Ref{Text: text, At: a, Was: op.c.now.placeName(a, meets)}
	}
	for i, b := range o.Blocks {
		if b.Kind == "run" {
			continue
		}
		t := Thing{ID: op.c.id(), Kind: b.Kind, Label: Ref{Text: b.Label()}, Block: i}
		spec := schema.Find(b.Kind)
		if spec.At.Place() {
			t.Label = ref(b.Label())
		}
		for k := range b.Attrs {
			a := &b.Attrs[k]
			f := Field{Name: a.Name, Value: a.Value}
			if spec.Attr(a.Name).Kind.Place() {
				if f.Place = ref(a.Value.Text); f.placed() {
					f.Value = sheet.Value{}
				}
			}
			t.Fields = append(t.Fields, f)
		}
		op.c.now.Things = append(op.c.now.Things, t)
	}
}

// Kept is a course as it is kept on the way: as it is now, with the text that
// it began with and the steps that can be undone, as many as stay small. It
// shares nothing with the course that could still change.
type Kept struct {
	Version int               `json:"version"`
	Base    string            `json:"base"`
	Stock   map[string]string `json:"stock"`
	Next    int               `json:"next"`
	Sizes   Sizes             `json:"sizes"`
	State   State             `json:"state"`
	Undo    []KeptStep        `json:"undo,omitempty"` // the oldest first
}

// KeptStep is a step of undo: the layout before it, and what it did.
type KeptStep struct {
	Before State  `json:"before"`
	What   string `json:"what"`
}

// keptPieces bounds the steps that are kept by their pieces, all together: a
// walk is written down at every key.
const keptPieces = 1500

// Kept gives the course as it is now.
func (c *Course) Kept() Kept {
	k := Kept{1, string(c.text), c.stock, c.next, c.Sizes, c.now, nil}
	n := min(len(c.undo), keptPieces/(c.Pieces()+20))
	for _, s := range c.undo[len(c.undo)-n:] {
		k.Undo = append(k.Undo, KeptStep{s.state, s.what})
	}
	return k
}

// Bytes writes it down.
func (k Kept) Bytes() ([]byte, error) { return json.Marshal(k) }

// Resume takes up what Kept.Bytes wrote.
func Resume(data []byte) (*Course, error) {
	var k Kept
	if err := outside.Walk.Decode(data, &k); err != nil {
		return nil, fmt.Errorf("the kept walk cannot be read: %w", err)
	}
	if k.Version != 1 {
		return nil, fmt.Errorf("the kept walk is of version %d, and only 1 is known", k.Version)
	}
	if k.Stock == nil {
		k.Stock = map[string]string{}
	}
	c := &Course{Sizes: k.Sizes, text: []byte(k.Base), now: k.State, next: k.Next}
	c.takeStock(k.Stock)
	if k.Base != "" {
		if c.base, _ = layoutfile.Parse("layout", c.text); c.base == nil { // rather than lose what was walked
			c.text = nil
		}
	}
	if err := c.opener().restore(&c.now); err != nil {
		return nil, err
	}
	for i := range k.Undo {
		if err := c.opener().restore(&k.Undo[i].Before); err != nil {
			return nil, err
		}
		k.Undo[i].Before.version = i + 1
		c.undo = append(c.undo, step{k.Undo[i].Before, k.Undo[i].What})
	}
	c.last = len(k.Undo) + 1
	c.now.version = c.last
	c.Sizes.fill(StartSizes(c.now.Metric))
	c.looking().look()
	return c, nil
}

// restore works the words of every piece out anew, since a hand may have been
// at the texts, and checks the rest.
func (op opener) restore(s *State) error {
	if len(s.Runs) == 0 || s.Run < 0 || s.Run >= len(s.Runs) || s.At < 0 || s.At > len(s.Runs[s.Run].Pieces) {
		return errors.New("the kept walk is damaged: its cursor stands nowhere")
	}
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			p := &s.Runs[i].Pieces[k]
			w, err := op.c.words(p.Text)
			if err != nil {
				return fmt.Errorf("the kept walk is damaged: %q: %w", p.Text, err)
			}
			p.Words = w
			op.c.next = max(op.c.next, p.ID+1)
		}
	}
	return nil
}

// Base is the text that was opened, empty for a new layout.
func (c *Course) Base() []byte { return c.text }
