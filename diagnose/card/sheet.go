package card

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
)

// Sheet is a card in words, ready to be set in any form.
type Sheet struct {
	Title   string
	About   []string // what the card is for and what it promises
	Before  []string // before the first reading
	Lamp    []string // the lamp hooked up, drawn in 7-bit characters; nil where no box has one
	Boxes   []SheetBox
	Notes   []string // what to look for, by the letters that rows name
	After   []string
	Off     string   // what comes before a look, short
	Safe    string   // and in full
	edges   [][2]int // from box to box
	parents []int    // of box i+1, 0 for the first
}

// SheetBox is one reading in words.
type SheetBox struct {
	N        int
	Head     string
	Cautions []string
	Steps    []string
	State    string // joints open and feeders off meanwhile, or empty
	Dial     string
	Red      string
	Black    string
	Divide   string // how to divide, or empty
	Rows     []Row
}

// Row is one outcome in words: go to Box, or look at List.
type Row struct {
	Shows string
	Box   int
	List  string
}

// Where says in words how a point of the layout is found on the table.
type Where func(point string) string

var symptomWords = map[hunt.SymptomKind]string{
	hunt.SymptomShort: "the breaker trips at once",
	hunt.SymptomWeak:  "trains stall or slow down",
	hunt.SymptomDead:  "everything beyond one place is dead",
}

// Sheet puts a card into words. A nil where leaves points with their names.
func (c *Card) Sheet(where Where) *Sheet {
	if where == nil {
		where = func(p string) string { return p }
	}
	s := &Sheet{Title: "Hunt card: " + c.Layout.Name}
	s.About = append(s.About, "Symptom: "+symptomWords[c.Symptom.Kind]+at(c.Symptom.At)+".", c.promise())
	if c.deaf() {
		s.About = append(s.About, "A beeper sounds through a bad contact of a few ohm as through a good one: with "+
			"volts and a lamp (--meters) a card for this symptom promises far more.")
	}
	s.Before = c.before()
	s.Lamp = c.lamp()
	s.Off, s.Safe = c.off()
	notes := &notes{letter: map[string]string{}}
	s.parents = make([]int, len(c.Boxes))
	for i := range c.Boxes {
		s.Boxes = append(s.Boxes, c.sheetBox(&c.Boxes[i], where, notes))
		for _, r := range c.Boxes[i].Branches {
			if r.Box > 0 {
				s.edges = append(s.edges, [2]int{i + 1, r.Box})
				s.parents[r.Box-1] = i + 1
			}
		}
	}
	s.Notes = notes.text
	s.After = c.after()
	return s
}

func (c *Card) promise() string {
	return fmt.Sprintf("Promise: with one fault in the track or its feeders, and every reading taken right, the bad "+
		"piece is on the list where you end up in at least %.0f of 100 hunts (every possible fault counted alike, "+
		"near the ends of ranges too: %.0f). Measured on %d invented faults with drawn resistances and meters; on "+
		"average %.1f readings, then %.1f pieces looked at.",
		100*c.Promise, 100*c.Every, c.Tested, c.Readings, c.Looks)
}

// deaf says that a card for bad contacts is for a kit that has nothing but a beeper
// to find them with. With volts at hand a card may beep all the same: a dead place
// is open.
func (c *Card) deaf() bool {
	k := &c.Kit
	return c.Symptom.Kind != hunt.SymptomShort && k.Beeper && !k.Ohms && !k.Volts && !k.Millivolts
}

func (c *Card) before() []string {
	out := []string{"Begin at box 1. Do the steps, take the reading, write it down, go where its row says. Steps " +
		"change what the box before left: leave all else as it is."}
	if c.divides() {
		out = append(out, "\"Divide by box 1\": divide what the meter shows by what it showed in box 1 (both in mV), "+
			"and find the result in the rows. Where one of them showed OL, or box 1 showed 0, take the last row.")
	}
	switch {
	case c.reads(hunt.AC):
		out = append(out, "AC: there is no sign. Take what the meter shows.")
	case c.reads(hunt.DC):
		out = append(out, "DC: mind the sign. -5 mV is less than 0.")
	}
	out = append(out, c.arm()...)
	return append(out, "Never work inside a supply. Mains wiring is for licensed electricians, by the local codes.")
}

// arm is what a hunt behind a lamp begins with: its light, and the volts on its
// track side, which tell what stands across the rails.
func (c *Card) arm() []string {
	box := c.lit()
	if box == nil {
		return nil
	}
	after := fmt.Sprintf("Once the steps of box %d are done, before its reading: ", box.N)
	none := "the handle down, the breaker open, the lamp not between post and hot wires."
	if c.battery() {
		none = "the clip off, the fuse blown, the lamp not between plus and hot wires."
	}
	out := []string{after + "look at the lamp. Bright or glowing: go on. Dark: no short with the trains off (look at " +
		"the trains), or no current: " + none}
	if src := &box.Ask.Setup.Source; c.short() && c.Kit.Volts {
		var rows []string
		for _, row := range src.ArmRows(unit.Volt, c.Kit.KnowsLamp()) {
			rows = append(rows, row.Shows+": "+row.Means)
		}
		out = append(out, fmt.Sprintf("Then volts from %q, on the lamp's track side, to %q: ______ ", src.From, src.To)+
			"("+strings.Join(rows, ". ")+"). Back to the dial of the box.")
	}
	if !box.Ask.OfLamp() {
		out = append(out, "Where it shows OL, turn the dial to volts for a moment. Nearly the supply's own volts: a "+
			"probe is on the supply's side of the lamp; read behind it, and take no row for that.")
	}
	return out
}

// reads says whether a box reads this kind of current.
func (c *Card) reads(current hunt.Current) bool {
	return slices.ContainsFunc(c.Boxes, func(b Box) bool { return b.Ask.Current == current })
}

func (c *Card) short() bool { return c.Symptom.Kind == hunt.SymptomShort }

// lit is the first box with a lamp in series, nil for none.
func (c *Card) lit() *Box {
	for i := range c.Boxes {
		if c.Boxes[i].Ask.Setup.Source.Kind == "lamp" {
			return &c.Boxes[i]
		}
	}
	return nil
}

// lamp draws how the lamp is hooked up, where a box wants one.
func (c *Card) lamp() []string {
	if box := c.lit(); box != nil {
		if h, ok := gear.HookupFor(&c.Kit, c.Layout, &box.Ask.Setup.Source); ok {
			return h.Draw(true)
		}
	}
	return nil
}

// battery says that one takes the supply's place.
func (c *Card) battery() bool { return c.Kit.Lamp && c.Kit.Battery && c.Kit.DCVolts > 0 }

// off is what takes the power off before hands lift anything.
func (c *Card) off() (short, full string) {
	if c.battery() {
		return "clip off", "the clip off the battery's plus before you lift anything"
	}
	return "unplug", "supply off and unplugged before you lift anything"
}

func (c *Card) divides() bool {
	for i := range c.Boxes {
		if c.Boxes[i].By > 0 {
			return true
		}
	}
	return false
}

func (c *Card) after() []string {
	proof := "supply's leads off its posts: the beeper across the two track leads is silent. Then the leads on, " +
		"switch on: the breaker holds."
	if c.Symptom.Kind != hunt.SymptomShort {
		proof = "supply on, a lamp of about 1 A across the rails" + at(c.Symptom.At) +
			": nearly the supply's full volts there. The lamp gets hot: off ties and scenery."
	}
	with := "everything back together, "
	switch {
	case c.battery(): // two supplies must never feed the same wires
		with = "battery and lamp off the wires, " + with
	case c.lit() != nil:
		with = "the lamp out of the supply's lead, " + with
	}
	out := []string{"Found and repaired? Prove it: " + with + proof}
	return append(out, fmt.Sprintf("Not on the list? Once in about %.0f hunts or oftener. Look at the list again, "+
		"then begin at box 1 and take every reading twice: one was wrong, there are two faults, or it is not in the "+
		"layout file.",
		max(2, 1/max(1-c.Promise, 0.005))))
}

// notes gives letters to what to look for.
type notes struct {
	letter map[string]string
	text   []string
}

func (n *notes) of(p *Piece) string {
	text := p.What
	for _, more := range []string{p.Look, p.Lift} {
		if more != "" && more != text {
			text += ". " + capital(more)
		}
	}
	if l, ok := n.letter[text]; ok {
		return l
	}
	l := string(rune('a' + len(n.text)%26))
	if k := len(n.text) / 26; k > 0 {
		l += fmt.Sprint(k + 1)
	}
	n.letter[text] = l
	n.text = append(n.text, l+": "+capital(text)+".")
	return l
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (c *Card) sheetBox(b *Box, where Where, notes *notes) SheetBox {
	a := &b.Ask
	out := SheetBox{N: b.N, Head: "about " + unit.FormatMinutes(a.Minutes), Cautions: b.New, Steps: a.Steps,
		Dial: a.Dial,
		Red:  where(a.Red), Black: where(a.Black)}
	if a.OfLeads() {
		out.Black = hunt.TipToTip
	}
	var state []string
	if len(a.Setup.Lifted) > 0 {
		state = append(state, "joints open: "+strings.Join(a.Setup.Lifted, ", "))
	}
	if len(a.Setup.Pulled) > 0 {
		state = append(state, "feeders off: "+strings.Join(a.Setup.Pulled, ", "))
	}
	out.State = strings.Join(state, "; ")
	if b.By > 0 {
		out.Divide = fmt.Sprintf("Divide by box %d", b.By)
	}
	for _, r := range b.Branches {
		row := Row{Shows: r.Shows, Box: r.Box}
		if r.End > 0 {
			row.List = c.Ends[r.End-1].words(notes)
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// words lists the pieces of an end in order, each with the letter of its note
// where that changes.
func (e *End) words(notes *notes) string {
	var parts []string
	run, last := "", ""
	for i := range e.Pieces {
		p := &e.Pieces[i]
		name := p.Name
		if name == OffTrack {
			name = "the trains and the supply"
		}
		if k := strings.LastIndexByte(name, ' '); k > 0 && p.Name != OffTrack {
			if name[:k] == run {
				name = name[k+1:]
			} else {
				run = name[:k]
			}
		} else {
			run = ""
		}
		if p.Place != "" {
			name += " (" + p.Place + ")"
		}
		if p.Tough != "" {
			name += " (" + p.Tough + ")"
		}
		if l := notes.of(p); l != last {
			name += " [" + l + "]"
			last = l
		}
		parts = append(parts, name)
	}
	return strings.Join(parts, ", ")
}
