package infer

import (
	"maps"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// sight is one place and set-up in which a symptom shows.
type sight struct {
	setup      conductor.Setup
	red, black int
	ohms       bool    // resistance is seen, else volts
	full       float64 // the volts that the supply has there
	trip       float64 // the resistance below which its breaker trips
	quiet      bool    // without the train: nothing should be seen
	odds       float64 // of the points having stood so, beside the likeliest
	works      int     // one more than the accessory that is seen, 0 for none
}

// dark says whether the accessory that is seen is burnt out: then its volts show
// nothing.
func (g *sight) dark(e *Engine, h *Hypo) bool {
	return g.works > 0 && h.Suspect >= 0 && e.Suspects[h.Suspect].Burnt(e.Net, g.works-1)
}

// trainMotor is what the train that brings a short takes itself, ohm: so much
// that it is no trip, and its pickups still reach over a gap of two-rail track.
const trainMotor = 1000

// sighting says what the eye sees of a fault, for the symptom.
type sighting struct{ *Engine }

// sights lists where a symptom shows. For one that is no short, the posts come
// last: a fault that trips the breaker would have been told as such.
func (e sighting) sights(y Symptom) []sight {
	switch y.Kind {
	case Short:
		return e.shortSights(y.Thrown)
	case ShortTrain:
		route := y.Thrown
		if route == nil {
			route = e.RouteTo(y.Piece)
		}
		return append(thrown(e.postSights(y.Piece), route, 1), thrown(e.postSights(-1), route, 1)...)
	case OutOfPhase:
		return e.phaseSights(y.Supply)
	}
	out := e.accessorySights(y)
	switch y.Kind {
	case Dead, WeakTrack:
		out = e.railSights(y.Piece)
	case StaysLive:
		out = e.liveSights(y.Piece)
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, e.postSights(-1)...)
}

// shortSights is the resistance at the posts with the points as they stood, and
// thrown otherwise: nobody may know how they stood, or may be mistaken.
func (e sighting) shortSights(stood map[int]string) []sight {
	out := append(thrown(e.postSights(-1), stood, 1), thrown(e.betweenSights(), stood, oddsBetween)...)
	other := oddsThrown
	if stood != nil {
		other = oddsMistaken
	}
	ways := []map[int]string{nil}
	for _, leg := range e.Legs() {
		ways = append(ways, leg.Thrown)
	}
	for _, w := range ways {
		if !maps.Equal(w, stood) {
			out = append(out, thrown(e.postSights(-1), w, other)...)
		}
	}
	return out
}

// What points thrown otherwise are weighed by (assumed): where nobody knows how
// they stood, and where somebody said so.
const oddsThrown, oddsMistaken = 0.5, 0.03

// thrown sets the points of sights.
func thrown(list []sight, route map[int]string, odds float64) []sight {
	for i := range list {
		list[i].setup.Thrown, list[i].odds = route, odds
	}
	return list
}

// postSights is the resistance at the posts of each supply, with a train on a
// piece when one is given.
func (e sighting) postSights(train int) []sight {
	var out []sight
	for i := range e.Net.Posts {
		s := conductor.Usual(e.Net.Layout)
		s.Warm = true
		o := sight{setup: s, red: e.Net.Posts[i][0], black: e.Net.Posts[i][1], ohms: true, trip: 2}
		if train >= 0 {
			o.setup.Trains = []conductor.TrainAt{{Pieces: e.trainAt(train), Motor: trainMotor}}
		}
		if p := &e.Net.Layout.Supplies[i]; p.Breaker > 0 && p.Volts > 0 {
			o.trip = p.Volts / p.Breaker
		}
		out = append(out, o)
	}
	return out
}

// betweenSights is the resistance at the posts of one supply with the winding of
// another lying where it always does: what feeds backwards over a bridged gap.
func (e sighting) betweenSights() []sight {
	posts := e.postSights(-1)
	var out []sight
	for _, b := range e.Betweens() {
		o := posts[b.A]
		o.trip = math.Max(o.trip, posts[b.B].trip) // the weaker breaker trips first
		o.setup.Loads = []conductor.Load{b.Clip}
		out = append(out, o)
	}
	return out
}

// oddsBetween is how often two handles stand far enough apart for what flows between
// them to trip a breaker (assumed).
const oddsBetween = 0.5

// trainAt is a piece and the ones joined to it: a train reaches over.
func (e sighting) trainAt(piece int) []int {
	var before, after []int
	l := e.Net.Layout
	for k, end := range l.Pieces[piece].Ends {
		if end.Joint < 0 {
			continue
		}
		o := l.Joints[end.Joint].Other(track.EndRef{Piece: piece, End: k})
		switch {
		case o.Piece == piece:
		case before == nil:
			before = []int{o.Piece}
		case after == nil:
			after = []int{o.Piece}
		}
	}
	return append(append(before, piece), after...)
}

// railSights is the volts under a train's load on a piece, with the points set
// so that current gets there.
func (e sighting) railSights(piece int) []sight {
	if piece < 0 {
		return nil
	}
	c := e.Net.Layout.Pieces[piece].Construction
	red, black := e.Net.Middle(piece, c.Hot), e.Net.Middle(piece, e.Net.CommonRail(piece))
	if red < 0 || black < 0 {
		return nil
	}
	route := e.RouteTo(piece)
	var out []sight
	for i := range e.Net.Posts {
		volts := e.Net.Layout.Supplies[i].Volts
		s := conductor.Usual(e.Net.Layout)
		s.Thrown = route
		s.Source = conductor.Source{Kind: conductor.SourceVolts, From: e.Net.Posts[i][0], To: e.Net.Posts[i][1],
			Volts: volts}
		s.Loads = []conductor.Load{{From: red, To: black, Ohms: volts / e.Net.Layout.TrainAmps(piece)}}
		out = append(out, sight{setup: s, red: red, black: black, full: volts})
	}
	return out
}

// liveSights is the volts under a train's load on a piece of a block with its
// toggle off.
func (e sighting) liveSights(piece int) []sight {
	b := e.Net.Layout.BlockOf(piece)
	if b < 0 {
		return nil
	}
	out := e.railSights(piece)
	for i := range out {
		out[i].setup.TurnOff(e.Net.Layout.Blocks[b].Toggle)
	}
	return out
}

// phaseSights is the volts between the hot posts of two supplies with their
// commons joined.
func (e sighting) phaseSights(supply int) []sight {
	s, ok := e.PhaseSetup(supply)
	if !ok {
		return nil
	}
	first := e.FirstAC()
	return []sight{{setup: s, red: e.Net.Posts[first][0], black: e.Net.Posts[supply][0],
		full: e.Net.Layout.Supplies[first].Volts + e.Net.Layout.Supplies[supply].Volts}}
}

// accessorySights is the volts across an accessory with its supply on: with
// wheels on its rail, without, or beside it.
func (e sighting) accessorySights(y Symptom) []sight {
	l := e.Net.Layout
	if y.Accessory < 0 || y.Accessory >= len(l.Accessories) {
		return nil
	}
	at := e.Net.AccessoryPoints[y.Accessory]
	on := e.AccessorySetup(y.Accessory)
	base := sight{setup: on, red: at[0], black: at[1], full: on.Source.Volts, works: y.Accessory + 1}
	quiet := base
	quiet.quiet = true
	switch y.Kind {
	case AccessoryOn:
		return []sight{base}
	case AccessoryElsewhere:
		out := []sight{quiet}
		for _, w := range e.WheelsBeside(y.Accessory) {
			o := base
			o.setup.Loads = []conductor.Load{w}
			out = append(out, o)
		}
		return out
	}
	if w, ok := e.WheelsOn(y.Accessory); ok {
		base.setup.Loads = []conductor.Load{w}
	}
	return []sight{base}
}

// see gives what each sight shows under a hypothesis.
func (s *stage) see(sights []sight, h *Hypo, sev severity, own map[string]*predict.Circuit) []float64 {
	cs := s.cases(h, sev, own)
	out := make([]float64, len(sights))
	for i := range sights {
		g := &sights[i]
		c := cs.of(&g.setup, g.setup.Key())
		switch {
		case c == nil:
			out[i] = math.Inf(1)
		case g.ohms:
			out[i] = c.Ohms(g.red, g.black)
		case g.dark(s.e, h):
			out[i] = 0
		default:
			v, _ := c.Volts(g.red, g.black)
			out[i] = math.Abs(v)
		}
	}
	return out
}

// What people say of a fault (all assumed). steadyTold: how much less often a short
// that is always there is told as one "with a train"; tripsHidden: how surely a
// tripped breaker keeps a dead or weak place from being told; elsewhereOwn: how
// much less often an accessory's own lost volts are told as a fault elsewhere, with
// half of it at elsewhereAt of its volts, rising with their elsewhereEdge-th power.
const steadyTold, tripsHidden, elsewhereOwn, elsewhereAt, elsewhereEdge = 0.75, 0.95, 0.8, 0.5, 6

// A breaker trips in half of all cases at tripsAt times the ohms that draw its rating,
// more surely with the tripsEdge-th power of what is drawn (assumed: supplies sag,
// breakers wait).
const tripsAt, tripsEdge = 1.5, 4

// noFull and noQuiet keep what is divided by off zero: volt, and a part of full volts.
const noFull, noQuiet = 1e-9, 1e-3

// explains is P(symptom | fault) from what the fault shows.
func (e sighting) explains(kind SymptomKind, sights []sight, values []float64) float64 {
	best := 0.0
	switch kind {
	case Short:
		for i := range sights {
			best = math.Max(best, sights[i].odds*trips(values[i], sights[i].trip))
		}
		return best
	case ShortTrain:
		n := len(e.Net.Posts)
		for i := range sights[:min(n, len(sights))] {
			if len(values) < 2*n { // the place is not known
				best = math.Max(best, trips(values[i], sights[i].trip))
				continue
			}
			with, without := trips(values[i], sights[i].trip), trips(values[n+i], sights[n+i].trip)
			// A short that is always there is told as one "with a train" too,
			// where it only trips the breaker slowly.
			best = math.Max(best, with*(1-steadyTold*without))
		}
		return best
	}
	quietly, feeds := 1.0, e.fedSomehow(kind, sights)
	for i := range sights {
		if sights[i].ohms {
			quietly *= 1 - tripsHidden*trips(values[i], sights[i].trip)
			continue
		}
		h := 0.0
		if i < len(e.healthy) {
			h = e.healthy[i]
		}
		if feeds && h < fed*sights[i].full {
			continue // a supply that never feeds the place
		}
		best = math.Max(best, shows(kind, &sights[i], h, values[i]))
	}
	best *= quietly
	if kind == AccessoryElsewhere && len(values) > 0 {
		quiet := values[0] / math.Max(sights[0].full, noFull)
		best *= 1 - elsewhereOwn/(1+math.Pow(elsewhereAt/math.Max(quiet, noQuiet), elsewhereEdge))
	}
	return best
}

// fed is the share of a supply's volts from which it is said to feed a place.
const fed = 0.3

// fedSomehow says whether the sound layout has volts at a dead or weak place
// from some supply: then the others, which never feed it, do not count.
func (e sighting) fedSomehow(kind SymptomKind, sights []sight) bool {
	if kind != Dead && kind != WeakTrack {
		return false
	}
	for i := range sights {
		if !sights[i].ohms && i < len(e.healthy) && e.healthy[i] >= fed*sights[i].full {
			return true
		}
	}
	return false
}

// trips is the probability that a breaker trips on a resistance: surely well
// below its rating; supplies sag.
func trips(ohms, trip float64) float64 {
	if math.IsInf(ohms, 1) {
		return 0
	}
	return 1 / (1 + math.Pow(ohms/(tripsAt*trip), tripsEdge))
}

// shows is the probability of a symptom that is seen as volts.
func shows(kind SymptomKind, g *sight, healthy, v float64) float64 {
	if math.IsInf(v, 1) {
		return 0
	}
	x := v / math.Max(healthy, noFull)
	share := v / math.Max(g.full, noFull)
	switch kind {
	case Dead:
		if healthy > 0 {
			return fault.SeenDead(x)
		}
	case AccessoryDead:
		return fault.SeenOut(share)
	case WeakTrack:
		if healthy > 0 {
			return slowed(x)
		}
	case AccessoryFlickers:
		return fault.SeenFlickers(share)
	case AccessoryOn, OutOfPhase, StaysLive:
		return fault.SeenLive(share)
	case AccessoryElsewhere:
		if g.quiet {
			return 0
		}
		return fault.SeenLive(share)
	}
	return 0
}

// slowed is how likely trains are said to be slow for what was lost: a few people
// say so where nothing was, and no fault is the cause of that.
func slowed(share float64) float64 { return math.Max(0, fault.SeenWeak(share)-fault.SeenWeak(1)) }

// under solves one hypothesis in a set-up, at its middle severity.
func (e *Engine) under(h int, setup conductor.Setup, points ...int) *predict.Case {
	x := &e.Hypos[h]
	series := []int(nil)
	if x.Effect.Kind == predict.EffectWeak || x.Effect.Kind == predict.EffectOpen {
		series = append(series, x.Effect.Link)
	}
	f := e.frameOver([]conductor.Setup{setup}, append(append([]int(nil), points...), framer{e}.pointsOf(x)...), series,
		[conductor.NumClasses]float64{})
	return e.newStage(f, nil).cases(x, x.sevs[len(x.sevs)/2], map[string]*predict.Circuit{}).of(&setup, setup.Key())
}

// PostOhms is the resistance across the posts of every supply under one
// hypothesis, with the accessories unplugged.
func (e *Engine) PostOhms(h int) []float64 {
	s := conductor.Bare(e.Net.Layout)
	var points []int
	for _, p := range e.Net.Posts {
		points = append(points, p[0], p[1])
	}
	c := e.under(h, s, points...)
	out := make([]float64, len(e.Net.Posts))
	for i, p := range e.Net.Posts {
		out[i] = math.Inf(1)
		if c != nil {
			out[i] = c.Ohms(p[0], p[1])
		}
	}
	return out
}

// Breaks says whether no path joins two points under a hypothesis.
func (e *Engine) Breaks(h int, pair [2]int) bool {
	c := e.under(h, conductor.Usual(e.Net.Layout), pair[0], pair[1])
	return c != nil && math.IsInf(c.Ohms(pair[0], pair[1]), 1)
}

// FeedsPiece is the supply whose posts reach a piece on the sound layout, the
// first one when none does.
func (e *Engine) FeedsPiece(piece int) int {
	c := e.Net.Layout.Pieces[piece].Construction
	hot := e.Net.Middle(piece, c.Hot)
	if hot < 0 {
		return 0
	}
	points := []int{hot}
	for _, p := range e.Net.Posts {
		points = append(points, p[0])
	}
	s := conductor.Usual(e.Net.Layout)
	s.Thrown = e.RouteTo(piece)
	f := e.frameOver([]conductor.Setup{s}, points, nil, [conductor.NumClasses]float64{})
	sound := Hypo{sevs: []severity{{}}}
	k := e.newStage(f, nil).cases(&sound, sound.sevs[0], map[string]*predict.Circuit{}).of(&s, s.Key())
	best, least := 0, math.Inf(1)
	for i, p := range e.Net.Posts {
		if k == nil {
			break
		}
		if r := k.Ohms(p[0], hot); r < least {
			best, least = i, r
		}
	}
	return best
}
