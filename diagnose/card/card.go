// Package card writes a hunt out before it is hunted: a decision card for
// those who hunt with paper. Each box is one reading, each outcome says which
// box comes next or which pieces to look at, in order.
//
// The readings come from package hunt; what an outcome means does not. A box
// must be right for every reading within one of its ranges, not only for one of
// them, so it is worked out over a crowd of drawn faults: many layouts with one
// fault each, with resistances, meters and lamps drawn, each read by package
// simulate. Those whose reading falls into a range follow that branch, and the
// pieces to look at are those where they have their faults. The same options
// give the same card. The rate that a card promises was measured over another
// crowd that had no part in making it.
package card

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Options say which hunt to write out.
type Options struct {
	Symptom hunt.Symptom
	Kit     hunt.Kit
	// Depth is the most readings on any way through the card; 0 means 4 with
	// millivolts and 6 without.
	Depth int
	// Boxes is the most readings on the whole card; 0 means 16.
	Boxes int
	// Ranges is the most ranges that a number is cut into; 0 means 6.
	Ranges int
	// Draws is how many faults the card is made from; 0 means 3000 with
	// millivolts and 1500 without. As many
	// again measure its promise.
	Draws int
	// Meter draws the readings; the zero value is simulate.CheapMeter.
	Meter simulate.Meter
	Seed  uint64
	// Where says in words where points are; nil leaves their names. It is asked
	// while the card is made because the card must fit its pages.
	Where Where
}

// The bounds of a card.
const (
	depthNumbers = 4  // readings in a row, with millivolts
	depthBeeps   = 6  // and without
	usualBoxes   = 16 // what two pages hold
	usualRanges  = 6
	usualDraws   = 3000
	// fewDrawn is for a beeper, which says nearly the same whatever the
	// resistances, and for weak places, where each place of the lamp is a
	// circuit of its own.
	fewDrawn = 1500
	// MaxDepth and MaxBoxes are the most that may be asked for.
	MaxDepth = 8
	MaxBoxes = 24
	// MaxPages is how many pages a card may take when printed (Sheet.Pages).
	MaxPages = 2
)

func (o Options) filled() (Options, error) {
	set := func(v *int, usual int) {
		if *v == 0 {
			*v = usual
		}
	}
	usual := depthBeeps
	if o.numbers() {
		usual = depthNumbers
	}
	set(&o.Depth, usual)
	set(&o.Boxes, usualBoxes)
	set(&o.Ranges, usualRanges)
	if usual == depthBeeps || o.Symptom.Kind == hunt.SymptomWeak {
		set(&o.Draws, fewDrawn)
	}
	set(&o.Draws, usualDraws)
	if o.Meter.Name == "" {
		o.Meter = simulate.CheapMeter()
	}
	if o.Symptom.Kind == hunt.SymptomShortTrain {
		return o, fmt.Errorf("a short that comes with a train goes with it, so there is no card for it: hunt it with " +
			"`fishplate`, or find where it comes and make a card with --symptom short while it is there")
	}
	if o.Depth < 1 || o.Depth > MaxDepth {
		return o, fmt.Errorf("a card can be 1 to %d readings deep, not %d", MaxDepth, o.Depth)
	}
	if o.Boxes < 1 || o.Boxes > MaxBoxes {
		return o, fmt.Errorf("a card can hold 1 to %d readings, not %d", MaxBoxes, o.Boxes)
	}
	return o, nil
}

// numbers says that the hunt reads numbers, not only tones.
func (o *Options) numbers() bool {
	if o.Symptom.Kind == hunt.SymptomShort {
		return o.Kit.Millivolts && o.Kit.Lamp
	}
	return o.Kit.Volts || o.Kit.Millivolts
}

// Card is a whole hunt on paper.
type Card struct {
	Layout  *track.Layout
	Symptom hunt.Symptom
	Kit     hunt.Kit
	// Boxes are the readings, the first one first; Ends the lists of pieces to
	// look at. Branches name both by their numbers, from 1.
	Boxes []Box
	Ends  []End
	// Promise is the fraction of hidden faults, drawn by their odds, that stood
	// on the list where the card ended; Every the same with each fault of the
	// layout counted alike, or less where that is not kept by readings near the
	// borders of their ranges. Both are measured over Tested drawn faults that had
	// no part in making the card, less two standard errors, rounded down.
	Promise, Every float64
	Tested         int
	// First is how often the truth was the first piece of the list, Readings
	// and Looks the mean numbers of readings and of pieces looked at until the
	// bad one is found.
	First, Readings, Looks float64
}

// Box is one reading.
type Box struct {
	N   int
	Ask hunt.Ask
	// New are the cautions that no box on the way here has shown.
	New      []string
	Branches []Branch
	// By is the box whose reading this one is divided by before it is compared
	// with the branches; 0: it is compared as it is.
	By int
	// Bits is the information about the bad piece that the branches keep;
	// Whole is that of the reading itself. Both are estimated on the crowd.
	Bits, Whole float64
}

// Branch is one outcome of a reading. Exactly one of Box and End is not 0.
type Branch struct {
	// Kind is the kind of the outcome: Beep, Silent, Value or OverLimit. For
	// Value it is more than Low and at most High, in volt or ohm; the lowest
	// range has Low -Inf and the highest High +Inf. WithOver says that OL
	// belongs here too.
	Kind      unit.Kind
	Low, High float64
	WithOver  bool
	Shows     string  // the same in words
	P         float64 // how often the card comes here when it is in the box
	Means     string  // where the fault is then
	Box, End  int
}

// End is a list of pieces to look at, in this order.
type End struct {
	N      int
	Pieces []Piece
	// Rate is how often the truth is on the list when the card ends here.
	Rate float64
	P    float64 // how often the card ends here
}

// Piece is one thing to look at.
type Piece struct {
	Name  string // "main 7", a feeder, or "off the track"
	P     float64
	Place string // the joint where its likeliest fault is, empty for the piece itself
	What  string // the likeliest fault there
	Look  string // what to look for
	Lift  string // how to lift it
	Tough string // the hidden stretch it lies in, or empty
}

// OffTrack is the name of the causes that are no part of the layout.
const OffTrack = "off the track"

// Build makes the card. An error says in the user's words what is wrong with
// the layout, the symptom or the bounds.
func Build(l *track.Layout, o Options) (*Card, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	if len(l.Supplies) == 0 || len(l.Feeders) == 0 {
		return nil, fmt.Errorf("a card needs a supply and a feeder in the layout file")
	}
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	seen, err := hunt.Begin(n, o.Kit).OnPaper().With(hunt.Event{Symptom: &o.Symptom}, nil)
	if err != nil {
		return nil, err
	}
	first := hunt.Next(seen).Ask
	if first == nil {
		return nil, fmt.Errorf("there is no reading that tells anything with this meter; say what you own with " +
			"--meters, beeper at least")
	}
	f := newFair(n, &o)
	crowd, err := f.draw(o.Seed)
	if err != nil {
		return nil, err
	}
	g := &grower{fair: f, seen: seen, o: &o}
	c, err := g.best(first, crowd)
	if err != nil {
		return nil, err
	}
	return c, c.measure(f, o.Seed+1)
}

// best is the card that begins with an ask. Where the lamp is not known, what the
// first box shows says little of the place, but dividing by it takes the lamp out of
// all that follow: so a card is tried, too, whose first number is only written down.
// Not with one feeder: there lamp and rails scale alike, and dividing came no better
// on the layouts that were tried.
func (g *grower) best(first *hunt.Ask, crowd []*one) (*Card, error) {
	root, err := g.weigh(first, crowd, nil)
	if err != nil {
		return nil, err
	}
	c, least, err := g.fitted(root)
	if err != nil || !g.short() || !g.o.numbers() || g.lamp < unknown || len(g.n.Layout.Feeders) < 2 ||
		len(root.slices) < 2 {
		return c, err
	}
	noted, minutes, err := g.fitted(g.whole(root))
	if err == nil && minutes < least {
		c = noted
	}
	return c, err
}

// unknown is the log-sd from which on a lamp's current is not known
// (assumed).
const unknown = 0.1

// fitted grows a card from its first box until it fills its pages, and gives the
// minutes expected with it.
func (g *grower) fitted(root *tree) (*Card, float64, error) {
	root, err := g.grow(root, g.seen, nil, g.o.Depth)
	if err != nil {
		return nil, 0, err
	}
	g.prune(root, g.o.Boxes)
	c := g.written(root)
	for n := count(root) - 1; n > 0 && c.Sheet(g.o.Where).Pages() > MaxPages; n-- {
		g.prune(root, n)
		c = g.written(root)
	}
	return c, g.minutes(root), nil
}
