package health

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// How a check is chosen; assumed.
const (
	// atPlace is how many readings are taken with the lamp at one place at most, and
	// places how many places it gets.
	atPlace, places = 6, 3
	// worthReading and worthMoving are what a further reading, and a further place, must
	// be worth at least, as a share of all contacts that are found; aloof is what a point
	// costs that is neither a wire's end nor has a name of its own.
	worthReading, worthMoving, aloof = 0.015, 0.06, 0.004
	// stoop is the same where thin wires lead to a block: there one stands.
	stoop = 0.03
	// where is what it is worth to know which contact it is, beside knowing that one is.
	where = 0.2
	// worse is the ohms that a contact is thought to have more.
	worse = 0.03
	// leastVolts is the least that is worth reading; most of the range is what is planned
	// with, for track has half as many ohms again as its file says.
	leastVolts, ofRange = 0.004, 0.6
	// leadMetres is how far a lead of the meter reaches, perMetre what it costs that a wire
	// must lengthen them.
	leadMetres, perMetre                = 1.2, 0.01
	spotsWanted, lampsWanted, mostLamps = 20, 12, 20
	contactsWeighed                     = 80
)

// Make chooses where the lamp lies and what is read: reading by reading the one that is
// worth most beside those chosen before. Their worth is how many contacts would be found
// with some ohms more, and how well they are told from one another: the mutual
// information by the distances between what they would show (A. Kolchinsky, B. D. Tracey,
// "Estimating mixture entropy with pairwise distances", Entropy 19, 2017, with
// Bhattacharyya's distance: a lower bound; from memory).
func Make(l *track.Layout, o Options) (*Plan, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	o.settle()
	if len(l.Supplies) == 0 || len(l.Feeders) == 0 {
		return nil, errors.New("there is no supply with a feeder in the file: a health check feeds the track by one")
	}
	ch := newChooser(n, o)
	views, err := ch.views()
	if err != nil {
		return nil, err
	}
	plan := &Plan{}
	for range places {
		best, bestGain, at := (*candidate)(nil), worthMoving, 0
		for i, v := range views {
			if c := ch.try(v); c != nil && c.gain > bestGain {
				best, bestGain, at = c, c.gain, i
			}
		}
		if best == nil {
			break
		}
		views = slices.Delete(views, at, at+1)
		for _, p := range best.readings {
			plan.Readings = append(plan.Readings, p.reading(len(plan.Places)))
			ch.told.take(p)
		}
		plan.Places = append(plan.Places, best.place)
	}
	if len(plan.Readings) < 2 {
		return nil, fmt.Errorf("no two readings of %s say anything of its joints: too little track lies between a "+
			"feeder and anywhere", l.Name)
	}
	return plan, nil
}

// chooser weighs readings.
type chooser struct {
	n      *conductor.Network
	o      Options
	links  []int
	points []spot
	told   *told
	around map[int]float64 // by link: the conductance around it
}

func newChooser(n *conductor.Network, o Options) *chooser {
	ch := &chooser{n: n, o: o, around: map[int]float64{}}
	ch.findPoints()
	return ch
}

// views lights the lamp at every place that it is tried at, and finds the contacts that
// matter with it there.
func (ch *chooser) views() ([]*view, error) {
	var out []*view
	for _, at := range ch.lamps() {
		supply := slices.IndexFunc(ch.n.Layout.Supplies, func(s track.Supply) bool { return s.Name == at.Supply })
		hot, common := ch.n.Find(at.Hot), ch.n.Find(at.Common)
		c, err := light(ch.n, supply, hot, common, &ch.o)
		if err != nil {
			return nil, err
		}
		if v, ok := c.between(hot, common); !ok || v < ch.o.Volts/2 {
			continue // this supply does not reach there
		}
		if ch.told == nil {
			ch.matter(c)
		}
		out = append(out, ch.view(at, c))
	}
	return out, nil
}

// matter lists the contacts that matter, some of them where there are many.
func (ch *chooser) matter(c *lit) {
	all := canWorsen(c)
	step := max(1, (len(all)+contactsWeighed-1)/contactsWeighed)
	for i := 0; i*step+i%step < len(all); i++ { // not always the same rail
		j := all[i*step+i%step]
		ch.links = append(ch.links, j)
		ch.around[j] = c.around(j)
	}
	ch.told = newTold(ch)
}

// spot is a point that a probe may go to.
type spot struct {
	point int
	cost  float64
	x, y  float64 // where it lies, m; of a post unknown, and taken for near
	known bool
}

// metres is how far apart two lie.
func (s *spot) metres(o *spot) float64 {
	if !s.known || !o.known {
		return 0
	}
	return math.Hypot(s.x-o.x, s.y-o.y)
}

// spotOf is a point with where it lies.
func spotOf(n *conductor.Network, point int, cost float64) spot {
	at := spot{point: point, cost: cost}
	if q := &n.Points[point]; q.Piece >= 0 {
		on := plane.Spot(n.Layout, track.Place{Piece: q.Piece, End: q.End})
		at.x, at.y, at.known = on.X/1000, on.Y/1000, true
	}
	return at
}

// Far is how many metres the probes of a reading are apart where that is more than both
// leads reach, else 0.
func (c *Check) Far(reading int) float64 {
	r := &c.Plan.Readings[reading]
	red, black := spotOf(c.n, c.n.Find(r.Red), 0), spotOf(c.n, c.n.Find(r.Black), 0)
	if m := red.metres(&black); m > 2*leadMetres {
		return m
	}
	return 0
}

// findPoints lists the ends of wires first, then named places, then joints at even
// distances, none of them hidden.
func (ch *chooser) findPoints() {
	l := ch.n.Layout
	seen := map[int]bool{}
	put := func(cost float64, points ...int) {
		for _, p := range points {
			if p >= 0 && !seen[p] {
				seen[p] = true
				ch.points = append(ch.points, spotOf(ch.n, p, cost))
			}
		}
	}
	for _, p := range ch.n.Posts {
		put(0, p[0], p[1])
	}
	for _, p := range ch.n.FeederPoints {
		put(0, p[0], p[1])
	}
	for _, bus := range ch.n.Terminals {
		for _, p := range bus {
			put(0, p[0], p[1])
		}
	}
	far := aloof
	for _, p := range ch.n.PanelPoints {
		put(0, p[0], p[1])
		far = stoop
	}
	for _, m := range l.Landmarks {
		if at, ok := ch.end(m.At); ok {
			put(far-aloof, ch.rails(at)...)
		}
	}
	step := max(1, len(l.Pieces)/spotsWanted)
	for i := 0; i < len(l.Pieces); i += step {
		if at, ok := ch.end(track.Place{Piece: i, End: -1}); ok && l.Pieces[i].ExtraMinutes == 0 {
			put(far, ch.rails(at)...)
		}
	}
}

// end is the end of a piece at a place, or its far one: a joint that probes find.
func (ch *chooser) end(at track.Place) (track.EndRef, bool) {
	p := &ch.n.Layout.Pieces[at.Piece]
	if at.End >= 0 {
		return track.EndRef{Piece: at.Piece, End: at.End}, true
	}
	for e := len(p.Ends) - 1; e >= 0; e-- {
		if p.Ends[e].Joint >= 0 && p.Ends[e].Label != track.EndDiverging {
			return track.EndRef{Piece: at.Piece, End: e}, true
		}
	}
	return track.EndRef{}, false
}

// rails are the points of the hot and the common rail at an end.
func (ch *chooser) rails(at track.EndRef) []int {
	c := ch.n.Layout.Pieces[at.Piece].Construction
	return []int{ch.n.At(at, c.Hot), ch.n.At(at, c.Common)}
}

// lamps are the places that the lamp is tried at, for every supply: named ones, ends of
// runs, and joints at even distances.
func (ch *chooser) lamps() []Place {
	l := ch.n.Layout
	var ends []track.EndRef
	add := func(at track.Place) {
		if e, ok := ch.end(at); ok && l.Pieces[at.Piece].ExtraMinutes == 0 && !slices.Contains(ends, e) {
			ends = append(ends, e)
		}
	}
	for _, m := range l.Landmarks {
		add(m.At)
	}
	step := max(1, len(l.Pieces)/lampsWanted)
	for i := step / 2; i < len(l.Pieces); i += step {
		add(track.Place{Piece: i, End: -1})
	}
	for r := range l.Runs {
		if p := l.Runs[r].Pieces; !l.Runs[r].Closed && len(p) > 0 {
			add(track.Place{Piece: p[len(p)-1], End: -1})
		}
	}
	var out []Place
	step = max(1, (len(ends)+mostLamps-1)/mostLamps)
	for s := range l.Supplies {
		for i := 0; i < len(ends); i += step {
			e := ends[i]
			if p := ch.rails(e); p[0] >= 0 && p[1] >= 0 {
				out = append(out, Place{l.Supplies[s].Name, ch.n.Points[p[0]].Name, ch.n.Points[p[1]].Name})
			}
		}
	}
	return out
}

// candidate is a place of the lamp with the readings that are worth most there.
type candidate struct {
	place    Place
	readings []*probe
	gain     float64
}

// try chooses readings for a place of the lamp; nil where nothing is lit.
func (ch *chooser) try(v *view) *candidate {
	list := ch.probes(v)
	out := &candidate{place: v.place}
	sofar := ch.told.within(v)
	for len(out.readings) < atPlace {
		best, bestGain := (*probe)(nil), worthReading
		if len(out.readings) == 0 {
			bestGain = -1 // the first sets the scale, and says next to nothing
		}
		for _, p := range list {
			if gain := sofar.gain(p) - p.cost; gain > bestGain {
				best, bestGain = p, gain
			}
		}
		if best == nil {
			break
		}
		sofar.take(best)
		out.readings = append(out.readings, best)
		out.gain += bestGain
	}
	if len(out.readings) < 2 {
		return nil
	}
	return out
}
