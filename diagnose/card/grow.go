package card

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
)

// tree is a card while it grows: a reading with its outcomes.
type tree struct {
	ask         hunt.Ask
	crowd       []*one
	reads       map[*one]unit.Reading
	by          *tree // the reading of this box is divided by that one's; nil: not
	box         int   // its number, once it has one
	slices      []slice
	next        []*tree // by slice, nil where a list comes
	bits, whole float64
	weight      float64
	lists       float64 // minutes of looking expected if the card ended here
}

// grower grows a tree of readings that a hunt would ask for.
type grower struct {
	*fair
	seen hunt.Situation // the symptom alone is known
	o    *Options
}

const (
	// fewDraws is how many of the crowd must come to a branch for another
	// reading to be worked out on them.
	fewDraws = 12
	// seldom is how often a branch must be come to for another reading to be
	// worth its place on the page.
	seldom = 0.022
	// proposals is how many readings the hunt may propose for one outcome, the
	// next only where all before told less than telling bits.
	proposals     = 6
	telling       = 0.6
	fewProposals  = 2 // with numbers: they cost more, and tell more
	tellingNumber = 0.3
	// useless is the bits below which a proposal is not counted, and mostAsked
	// how many there may be at most for one reading.
	useless   = 0.05
	mostAsked = 12
	// enough is what a reading must tell for no other reading of the range to
	// be tried, bits.
	enough = 1.0
)

// grow makes the box of an ask that is wanted where a hunt stands so, and what
// follows.
func (g *grower) grow(t *tree, at hunt.Situation, way []*tree, depth int) (*tree, error) {
	way = append(way[:len(way):len(way)], t)
	t.next = make([]*tree, len(t.slices))
	for i := range t.slices {
		s := &t.slices[i]
		if depth <= 1 || !g.worth(s.crowd) {
			continue
		}
		next, err := g.follow(s, at, way, depth)
		if err != nil {
			return nil, err
		}
		// A reading that tells nothing by itself may lead to one that does: a
		// loop needs two cuts. So it is judged with what follows.
		if next != nil && g.minutes(next) < next.lists-1 {
			t.next[i] = next
		}
	}
	return t, nil
}

// minutes is what is expected from a box to the end, lists and readings.
func (g *grower) minutes(t *tree) float64 {
	sum := t.ask.Minutes
	for i := range t.slices {
		if n := t.next[i]; n != nil {
			sum += t.slices[i].P * g.minutes(n)
		} else {
			sum += t.slices[i].P * g.looking(g.tally(t.slices[i].crowd))
		}
	}
	return sum
}

// weigh reads an ask with a crowd and cuts the readings: as they are, or
// divided by an earlier reading of the same set-up where that tells more, since
// what is not known of the lamp and of the track's level then cancels.
func (g *grower) weigh(ask *hunt.Ask, crowd []*one, way []*tree) (*tree, error) {
	reads, err := g.read(ask, crowd)
	if err != nil {
		return nil, err
	}
	t := &tree{ask: *ask, crowd: crowd, weight: mass(crowd), lists: g.looking(g.tally(crowd)),
		reads: map[*one]unit.Reading{}}
	for i, x := range crowd {
		t.reads[x] = reads[i]
	}
	t.slices, t.bits, t.whole = g.cut(crowd, reads, reads, g.o.Ranges)
	for _, a := range way {
		if !divides(&a.ask, ask) {
			continue
		}
		u := *t
		u.by = a
		u.slices, u.bits, u.whole = g.cut(crowd, reads, ratios(crowd, reads, a.reads), g.o.Ranges)
		if g.after(&u) < g.after(t)-worthDividing {
			t = &u
		}
	}
	return t, nil
}

// worth says whether another reading may be worth it for those who come here.
func (g *grower) worth(crowd []*one) bool {
	p := g.tally(crowd)
	best := slices.Max(p)
	return len(crowd) >= fewDraws && mass(crowd) >= seldom && best < 0.9
}

func mass(crowd []*one) float64 {
	sum := 0.0
	for _, x := range crowd {
		sum += x.weight
	}
	return sum
}

// after is the minutes expected from here if lists follow this reading.
func (g *grower) after(t *tree) float64 {
	sum := t.ask.Minutes
	for i := range t.slices {
		sum += t.slices[i].P * g.looking(g.tally(t.slices[i].crowd))
	}
	return sum
}

// follow finds the next reading for an outcome of the last one: the hunt proposes some
// for each of several readings within its range, and the one is taken that serves all
// who come here best. Nil where there is none.
func (g *grower) follow(s *slice, at hunt.Situation, way []*tree, depth int) (*tree, error) {
	b := &bidding{g: g, crowd: s.crowd, way: way, least: math.Inf(1), seen: map[string]bool{}}
	for _, r := range representatives(s) {
		if b.best != nil && b.best.bits >= enough {
			break
		}
		said, err := at.With(hunt.Event{Reading: r}, &way[len(way)-1].ask)
		if err != nil {
			return nil, err
		}
		if err := b.bid(said); err != nil {
			return nil, err
		}
	}
	if b.best == nil {
		return nil, nil
	}
	return g.grow(b.best, b.at, way, depth-1)
}

// bidding weighs what a hunt proposes for those who come to an outcome.
type bidding struct {
	g     *grower
	crowd []*one
	way   []*tree
	best  *tree
	at    hunt.Situation // in which it was wanted
	least float64        // minutes expected with it
	seen  map[string]bool
}

// bid weighs the reading that is wanted where a hunt stands so, then the next one
// without that, until one tells enough.
func (b *bidding) bid(at hunt.Situation) error {
	tries, tells := proposals, telling
	if b.g.o.numbers() {
		tries, tells = fewProposals, tellingNumber
	}
	for tried, asked := 0, 0; tried < tries && asked < mostAsked; asked++ {
		ask := hunt.Next(at).Ask
		if ask == nil || b.seen[askKey(ask)] {
			break
		}
		b.seen[askKey(ask)] = true
		bits, err := b.weigh(ask, at)
		if err != nil {
			return err
		}
		if bits >= tells {
			break
		}
		if bits >= useless { // the same again, on the other rail, is no try
			tried++
		}
		at = at.Barring(ask)
	}
	return nil
}

// weigh gives the bits that a proposal tells the crowd, and keeps it where it serves
// them best.
func (b *bidding) weigh(ask *hunt.Ask, at hunt.Situation) (float64, error) {
	alike, err := b.g.alike(ask, b.crowd)
	if err != nil || alike {
		return 0, err
	}
	t, err := b.g.weigh(ask, b.crowd, b.way)
	if err != nil {
		return 0, err
	}
	if a := b.g.after(t); a < b.least && len(t.slices) > 1 {
		b.best, b.at, b.least = t, at, a
	}
	return t.bits, nil
}

// sample is how many of a crowd are asked whether a yes or no is in doubt.
const sample = 64

// alike says that a reading shows all of a crowd the same yes or no, by a sample
// of it: then the whole crowd need not be read.
func (g *grower) alike(ask *hunt.Ask, crowd []*one) (bool, error) {
	some := crowd
	if len(crowd) > 2*sample {
		some = nil
		for i := range sample {
			some = append(some, crowd[i*len(crowd)/sample])
		}
	}
	reads, err := g.read(ask, some)
	if err != nil {
		return false, err
	}
	for _, r := range reads {
		if r.Kind != reads[0].Kind || !slices.Contains(yesNo, r.Kind) {
			return false, nil
		}
	}
	return true, nil
}

// askKey tells readings apart.
func askKey(a *hunt.Ask) string {
	return fmt.Sprintf("%s %s %s %v %v %v %v", a.Meter, a.Red, a.Black, a.Setup.Source, a.Setup.Loads, a.Setup.Lifted,
		a.Setup.Pulled)
}

// representatives are texts that stand for a range: one that is as coarse as
// the range is wide, and a few within it.
func representatives(s *slice) []string {
	switch {
	case slices.Contains(yesNo, s.Kind):
		return []string{string(s.Kind)}
	case s.Kind == unit.OverLimit:
		return []string{"OL"}
	}
	n := len(s.mid)
	fine := func(q float64) unit.Reading { return s.mid[int(q*float64(n-1))] }
	out := []string{}
	if t, ok := coarse(s.mid); ok {
		out = append(out, t)
	}
	for _, q := range []float64{0.5} {
		out = append(out, fine(q).String())
	}
	return slices.Compact(out)
}

// coarse writes the middle of a range with so few digits that the hunt takes
// it for a reading that may be anywhere in the range: a display's last digits
// are worth nothing.
func coarse(mid []unit.Reading) (string, bool) {
	sum, square := 0.0, 0.0
	for _, r := range mid {
		sum += r.Value
	}
	mean := sum / float64(len(mid))
	for _, r := range mid {
		square += (r.Value - mean) * (r.Value - mean)
	}
	step := math.Pow(10, math.Round(math.Log10(math.Sqrt(square/float64(len(mid)))/2)))
	if !(step > mid[0].Step*1.5) || step > math.Abs(mean) {
		return "", false
	}
	u, per := "V", 1.0
	switch {
	case mid[0].Unit == unit.Volt && step < 5e-3:
		u, per = "mV", 1e-3
	case mid[0].Unit == unit.Ohm && step > 5:
		u, per = "k", 1e3
	case mid[0].Unit == unit.Ohm:
		u = ""
	case mid[0].Unit == unit.Ampere:
		u = "A"
	}
	decimals := int(math.Round(math.Log10(per / step)))
	if decimals < 0 {
		return "", false
	}
	return strings.TrimSpace(strconv.FormatFloat(math.Round(mean/step)*step/per, 'f', decimals, 64) + " " + u), true
}

// prune takes away the boxes that save least until so many are left.
func (g *grower) prune(root *tree, most int) {
	for count(root) > most {
		var at *tree
		which, least := -1, math.Inf(1)
		var walk func(*tree)
		walk = func(t *tree) {
			for i, n := range t.next {
				if n == nil {
					continue
				}
				if count(n) > 1 {
					walk(n)
					continue
				}
				if saved := n.weight * (n.lists - g.after(n)); saved < least {
					at, which, least = t, i, saved
				}
			}
		}
		walk(root)
		at.next[which] = nil
	}
}

func count(t *tree) int {
	n := 1
	for _, x := range t.next {
		if x != nil {
			n += count(x)
		}
	}
	return n
}

// written is a tree as a card.
func (g *grower) written(root *tree) *Card {
	c := &Card{Layout: g.n.Layout, Symptom: g.o.Symptom, Kit: g.o.Kit}
	g.number(c, root)
	return c
}

// number lays the tree out as a card: boxes row by row, so that those that are
// read early stand early.
func (g *grower) number(c *Card, root *tree) {
	type place struct {
		t     *tree
		shown map[string]bool
	}
	queue := []place{{root, map[string]bool{}}}
	for next := 1; len(queue) > 0; queue = queue[1:] {
		t := queue[0].t
		t.box = len(c.Boxes) + 1
		b := Box{N: t.box, Ask: t.ask, Bits: t.bits, Whole: t.whole}
		if t.by != nil {
			b.By = t.by.box
		}
		shown := map[string]bool{}
		for s := range queue[0].shown {
			shown[s] = true
		}
		for _, s := range t.ask.Cautions {
			if !shown[s] {
				b.New = append(b.New, s)
				shown[s] = true
			}
		}
		for i := range t.slices {
			br := t.slices[i].Branch
			br.Means = g.means(t.slices[i].crowd)
			if t.next[i] != nil {
				next++
				br.Box = next
				queue = append(queue, place{t.next[i], shown})
			} else {
				e := g.end(&t.slices[i])
				e.N = len(c.Ends) + 1
				br.End = e.N
				c.Ends = append(c.Ends, e)
			}
			b.Branches = append(b.Branches, br)
		}
		c.Boxes = append(c.Boxes, b)
	}
}

// means names where most of a crowd has its faults, in rows of pieces.
func (g *grower) means(crowd []*one) string {
	p := g.tally(crowd)
	in := map[int]bool{}
	var other []string
	held := 0.0
	for _, c := range descending(p) {
		if held > 0.85 {
			break
		}
		held += p[c]
		if i := g.ofPiece[c]; i >= 0 {
			in[i] = true
		} else {
			other = append(other, g.classes[c])
		}
	}
	var parts []string
	l := g.n.Layout
	for _, r := range l.Runs {
		for a := 0; a < len(r.Pieces); a++ {
			if !in[r.Pieces[a]] {
				continue
			}
			b := a
			for b+1 < len(r.Pieces) && in[r.Pieces[b+1]] {
				b++
			}
			parts, a = append(parts, l.RowName(r.Pieces[a], r.Pieces[b])), b
		}
	}
	sort.Strings(other)
	parts = append(parts, other...)
	if len(parts) > 3 {
		parts = append(parts[:2], fmt.Sprintf("%d more places", len(parts)-2))
	}
	return strings.Join(parts, ", ")
}
