package infer

import (
	"maps"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// A dead place that current reaches by more ways than one is open on each of them,
// on one side of the supply. Pairs of opens are as many as the ways are long, times
// each other; but no current flows at a dead place, so that with one way open
// somewhere, and every other cut beside the place, each reading up to the place
// along that one is what it is. So an open on one way is a hypothesis of its own,
// with the other ways cut there: one end is found at a time. A weak place is bad on
// each of its ways likewise: as many volts are lost along one as along another, so
// that one alone, with the others cut, loses nearly what is read along it.

// cut is what is out beside a place on all ways to it but one, on one side of the
// supply: links, each with so many ohm in its place, or none.
type cut struct {
	links     []int
	ohms      float64
	way, side int // the end of the place that is left; 0 hot, 1 common
}

// farOhms are what the other ways of a weak place have in them: so far apart that the
// current parts between the ways nearly as it does, and no more, since each is weighed.
var farOhms = []float64{0.5, 2}

// instead are the branches in place of the links.
func (c *cut) instead(n *conductor.Network) []predict.Extra {
	var out []predict.Extra
	for _, i := range c.links {
		if c.ohms > 0 {
			out = append(out, predict.Extra{A: n.Links[i].A, B: n.Links[i].B, Ohms: c.ohms, Link: i + 1})
		}
	}
	return out
}

// twoOpens are the hypotheses of a dead place that is open on each of its ways.
type twoOpens struct{ *Engine }

// cuts lists, by end and side of the supply, the links that a place hangs on by its
// other ways; none where that rail has no other, as past a gap in it alone.
func (e twoOpens) cuts(piece int, far []float64) []cut {
	c := e.Net.Layout.Pieces[piece].Construction
	sides := [2]int{e.Net.Middle(piece, c.Hot), e.Net.Middle(piece, e.Net.CommonRail(piece))}
	s := conductor.Usual(e.Net.Layout)
	s.Thrown = e.RouteTo(piece)
	at := e.tied(&s)
	var ways [2][]int
	for i, side := range sides {
		ways[i] = e.railWays(piece, e.FeedsPiece(piece), side, &s)
	}
	if len(ways[0])+len(ways[1]) == 0 {
		return nil
	}
	var out []cut
	for by := range e.Net.Layout.Pieces[piece].Ends {
		for i, side := range sides {
			var links []int
			for _, end := range ways[i] {
				if end != by && slices.Contains(ways[i], by) {
					links = append(links, e.linksAt(piece, end, func(p int) bool { return at(p) == at(side) })...)
				}
			}
			for _, ohms := range far {
				if len(links) > 0 {
					out = append(out, cut{links, ohms, by, i})
				}
			}
		}
	}
	return out
}

// linksAt are the joint links at an end of a piece whose rail is wanted.
func (e twoOpens) linksAt(piece, end int, wanted func(point int) bool) []int {
	var out []int
	ref := track.EndRef{Piece: piece, End: end}
	for i := range e.Net.Links {
		k := &e.Net.Links[i]
		if k.Kind == conductor.KindJoint && k.Joint == e.Net.Layout.Pieces[piece].Ends[end].Joint &&
			(e.endOf(k.A) == ref && wanted(k.A) || e.endOf(k.B) == ref && wanted(k.B)) {
			out = append(out, i)
		}
	}
	return out
}

func (e twoOpens) endOf(point int) track.EndRef {
	p := &e.Net.Points[point]
	return track.EndRef{Piece: p.Piece, End: p.End}
}

// add puts them behind the single faults, which come from the layout alone.
func (e twoOpens) add(y Symptom, sights []sight) {
	e.Hypos, e.cut = e.Hypos[:e.singles], nil
	if y.Kind != Dead && y.Kind != WeakTrack || y.Piece < 0 || len(sights) == 0 {
		return
	}
	far := []float64{0} // open
	if y.Kind == WeakTrack {
		far = farOhms
	}
	if e.cut = e.cuts(y.Piece, far); len(e.cut) == 0 {
		return
	}
	bad := e.onWays(y.Kind, sights)
	for side := range 2 {
		e.addSide(bad, side, float64(len(far)))
	}
}

// What is assumed of a place that current comes to by more ways than one: how often
// one of them is open that nobody noticed, since the place was live by the others;
// and how the belief is parted where all are, between the end that is looked for
// first and those after it. Any part would be true: each way has an open.
const latentOpen, firstEnd = 0.1, 0.95

// addSide puts in the bad contacts on one side of the supply, by cut; of each way there
// are so many cuts.
func (e twoOpens) addSide(bad [][]int, side int, each float64) {
	share, ways := make([]float64, len(bad)), map[int]float64{}
	longest, all := -1, 0.0
	for k, c := range e.cut {
		if c.side != side {
			continue
		}
		for _, h := range bad[k] {
			share[k] += e.Hypos[h].Prior
		}
		if ways[c.way] = max(ways[c.way], share[k]); longest < 0 || ways[c.way] > ways[longest] {
			longest = c.way
		}
	}
	if len(ways) < 2 {
		return
	}
	for _, way := range slices.Sorted(maps.Keys(ways)) {
		all += ways[way]
	}
	all *= math.Pow(latentOpen, float64(len(ways)-1))
	for k, c := range e.cut {
		part := firstEnd
		if c.way != longest {
			part = (1 - firstEnd) / float64(len(ways)-1)
		}
		for _, h := range bad[k] {
			if c.side != side {
				break
			}
			two := e.Hypos[h]
			two.Prior *= all * part / share[k] / each
			two.cut, two.symptom = k+1, slices.Clone(two.symptom)
			e.Hypos = append(e.Hypos, two)
		}
	}
}

// onWays lists, by cut, the opens that leave the place dead with it (or what makes it
// weak), and would not without.
func (e twoOpens) onWays(kind SymptomKind, sights []sight) [][]int {
	var ones, points []int
	var setups []conductor.Setup
	effect := predict.EffectOpen
	if kind == WeakTrack {
		effect = predict.EffectWeak
	}
	for h := range e.Hypos {
		if e.Hypos[h].Effect.Kind == effect {
			ones = append(ones, h)
		}
	}
	for i := range sights {
		setups = append(setups, sights[i].setup)
		points = append(points, sights[i].red, sights[i].black)
	}
	f := framer{e.Engine}.newFrame(ones, make([]float64, len(e.Hypos)), setups, points, len(points), symptomTiles,
		[conductor.NumClasses]float64{})
	s := e.newStage(f, nil)
	sound := Hypo{sevs: []severity{{}}}
	e.healthy = s.see(sights, &sound, sound.sevs[0], map[string]*predict.Circuit{})
	shows := func(h Hypo) bool {
		return slices.ContainsFunc(h.sevs, func(sev severity) bool {
			return sighting{e.Engine}.explains(kind, sights, s.see(sights, &h, sev, nil)) >= explainsAlone
		})
	}
	out := make([][]int, len(e.cut))
	for k := range e.cut {
		far := sound
		if far.cut = k + 1; shows(far) { // the way round is long enough to be weak
			continue
		}
		for gi := range f.groups {
			g := &f.groups[gi]
			h := e.Hypos[g.lead]
			two := h
			if two.cut = k + 1; (kind == WeakTrack || s.parts(&two, sights)) && shows(two) && !shows(h) {
				out[k] = append(out[k], g.hypos...)
			}
		}
	}
	return out
}

// parts says whether an open takes something off the network at one of the sights:
// only then can it leave a place dead.
func (s *stage) parts(h *Hypo, sights []sight) bool {
	super, _ := s.f.basis.SuperOf(h.Effect.Link)
	return super >= 0 && slices.ContainsFunc(sights, func(g sight) bool {
		c := s.circuit(&g.setup, g.setup.Key(), h, nil)
		return !g.ohms && c != nil && c.Splits(super)
	})
}

// shown are the weights without faults that do not explain what was seen, as long
// as those that do hold half of it: on a loop nearly every single open is one, and
// each of them would be weighed.
func (e twoOpens) shown(weight []float64) []float64 {
	if len(e.cut) == 0 {
		return weight
	}
	out, kept, all := make([]float64, len(weight)), 0.0, 0.0
	for h, w := range weight {
		all += w
		if slices.Max(e.Hypos[h].symptom) > math.Log(2*unlikely) {
			out[h] = w
			kept += w
		}
	}
	if kept < all/2 {
		return weight
	}
	return out
}

// WayOf is the end of the symptom's place on whose way a class lies: where it is
// open and the other ways are too, the place is dead. Less than 0 for none.
func (e *Engine) WayOf(class int) int {
	for i := e.singles; i < len(e.Hypos); i++ {
		if e.Hypos[i].Class == class {
			return e.cut[e.Hypos[i].cut-1].way
		}
	}
	return -1
}

// Mended is what a hypothesis weighs more once a class was found bad and mended: where
// that lay on one way to the symptom's place, the end on another is looked for next,
// and what would be cause enough alone is a second cause.
func (e *Engine) Mended(hypo, class int) float64 {
	h, way := &e.Hypos[hypo], e.WayOf(class)
	switch {
	case way < 0:
		return 1
	case h.cut == 0 && slices.Max(h.symptom) >= math.Log(explainsAlone), h.cut > 0 && e.cut[h.cut-1].way == way:
		return twoFaults
	case h.cut > 0:
		return 1 / (1 - firstEnd)
	}
	return 1
}

// cutLinks are all links that some hypothesis has cut.
func (e *Engine) cutLinks() []int {
	var out []int
	for i := range e.cut {
		out = append(out, e.cut[i].links...)
	}
	return out
}
