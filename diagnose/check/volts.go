package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Volts is what one supply gives to its track under one train.
type Volts struct {
	Supply string  `json:"supply"`
	Posts  float64 `json:"posts_volts"` // at the supply's posts, taken as stiff
	// TrainAmps is the current of the train, put on each piece in turn, and
	// Assumed where it comes from.
	TrainAmps float64 `json:"train_amps"`
	Assumed   string  `json:"train_amps_from"`
	// Worst is the piece with the fewest volts, and Volts what is left there
	// with medians; WornVolts the same with all rails and all joints together
	// one log-sd of the layout's levels worse.
	Worst     string  `json:"worst_at"`
	Volts     float64 `json:"worst_volts"`
	WornVolts float64 `json:"worst_volts_worn"`
	// ShortAmps is what wires and rails let through into a dead short at ShortAt,
	// where it is least; a supply gives less. ShortTrips says whether the breaker,
	// of Breaker ampere, opens on it at once.
	ShortAmps  float64 `json:"short_amps"`
	ShortAt    string  `json:"short_at"`
	ShortTrips bool    `json:"short_trips"`
	Breaker    float64 `json:"breaker_amps"`
	// More is the place where one more feeder helps the worst place most, nil
	// where none helps.
	More   *OneMore     `json:"one_more_feeder"`
	Places []PlaceVolts `json:"places"`
}

// OneMore is one more pair of wires, with as much copper from the supply to the
// track as feeder Like has.
type OneMore struct {
	At string `json:"at"`
	// Hot and Common are the rails there that its wires go to.
	Hot    track.Rail `json:"hot"`
	Common track.Rail `json:"common"`
	Worst  string     `json:"worst_at"`
	Volts  float64    `json:"worst_volts"`
	Like   string     `json:"wire_like"`
	// Behind is the toggle that switches that place, so that the feeder has to
	// hang on it; empty where there is none.
	Behind string `json:"behind"`
}

// String is how to make it: "wire as for F2, behind S1".
func (f *OneMore) String() string {
	if f.Behind == "" {
		return "wire as for " + f.Like
	}
	return "wire as for " + f.Like + ", behind " + f.Behind
}

// PlaceVolts is what the train has on one piece.
type PlaceVolts struct {
	Piece string  `json:"piece"`
	Volts float64 `json:"volts"`
}

// scene is the network with the turnouts thrown one way and the posts of each
// supply joined (a stiff supply has no resistance), factorised.
type scene struct {
	f     *feed
	fac   *nodal.Factor
	spots []spot
}

// spot is a place for the train, as ports of the network: current goes in at a
// and out at b; side, when there, is the other outer rail, which the wheels
// join to b.
type spot struct {
	contacts
	supply     int
	na, nb, nc int // nodes, nc -1 without another rail
	z          [3]float64
}

// ohms is what the train sees: the wheels join the outer rails, so the second
// port is shorted.
func (s *spot) ohms() float64 { return reduce(s.z) }

// reduce is the resistance of port 1 with port 2 shorted, of the symmetric
// matrix z11, z12, z22.
func reduce(z [3]float64) float64 {
	if z[2] <= 0 {
		return z[0]
	}
	return z[0] - z[1]*z[1]/z[2]
}

// voltCheck finds the volts that reach a train everywhere, and whether a breaker sees a short.
type voltCheck struct{ *checker }

// scenes makes the network for each way of throwing the turnouts that matters;
// rails and joints are made worse by the two factors. Toggles are on; supplies
// that feed nothing then get their turn with those that choose thrown.
func (c voltCheck) scenes(rail, joint float64) ([]*scene, error) {
	routes := []string{track.EndThrough}
	for i := range c.n.Links {
		if c.n.Links[i].Kind == conductor.KindSwitch {
			routes = append(routes, track.EndDiverging)
			break
		}
	}
	var second []int // toggles that choose between supplies
	for i := range c.l.Toggles {
		if c.l.Toggles[i].Chooses {
			second = append(second, i)
		}
	}
	var out []*scene
	fed := make([]bool, len(c.l.Supplies))
	for _, toggles := range [][]int{nil, second} {
		if toggles == nil && len(out) > 0 {
			break // no toggle chooses
		}
		for _, route := range routes {
			s, err := c.scene(route, toggles, fed, rail, joint)
			if err != nil {
				return nil, err
			}
			out = append(out, s)
		}
		for _, s := range out {
			for i := range s.spots {
				fed[s.spots[i].supply] = true
			}
		}
	}
	return out, nil
}

// scene makes one of them, with some toggles in their second position and
// without spots for the supplies that have had theirs.
func (c voltCheck) scene(route string, toggles []int, had []bool, rail, joint float64) (*scene, error) {
	g := newGraph(c.n, route, true)
	if len(toggles) > 0 {
		g = g.switched(toggles...)
	}
	var edges []nodal.Edge
	var ties [][2]int
	for i := range c.n.Links {
		k := &c.n.Links[i]
		if !g.conducts(k) {
			continue
		}
		ohms := k.Ohms
		switch k.Class {
		case conductor.ClassRail:
			ohms *= rail
		case conductor.ClassJoint:
			ohms *= joint
		}
		if ohms > 0 {
			edges = append(edges, nodal.Edge{U: c.n.NodeOf(k.A), V: c.n.NodeOf(k.B), Ohms: ohms})
		} else {
			ties = append(ties, [2]int{c.n.NodeOf(k.A), c.n.NodeOf(k.B)})
		}
	}
	for _, p := range c.n.Posts {
		ties = append(ties, [2]int{c.n.NodeOf(p[0]), c.n.NodeOf(p[1])})
	}
	fac, err := nodal.NewFactor(c.n.Nodes, edges, ties)
	if err != nil {
		return nil, fmt.Errorf("could not solve the network for its volts: %w", err)
	}
	s := &scene{f: newFeed(g), fac: fac}
	for _, k := range c.spots() {
		if c.l.Pieces[k.piece].Kind == track.Bumper {
			continue
		}
		supply, b, _ := s.f.circuit(k)
		if supply < 0 || had[supply] || c.fighting[supply] {
			continue
		}
		sp := spot{contacts: k, supply: supply, na: c.n.NodeOf(k.a), nb: c.n.NodeOf(b), nc: -1}
		for _, q := range k.b {
			if q >= 0 && c.n.NodeOf(q) != sp.nb && fac.Island(c.n.NodeOf(q)) == fac.Island(sp.nb) {
				sp.nc = c.n.NodeOf(q)
			}
		}
		s.spots = append(s.spots, sp)
	}
	return s, nil
}

// solve fills in the port matrices.
func (s *scene) solve() {
	inj := make([]float64, s.fac.Nodes())
	var v []float64
	for i := range s.spots {
		p := &s.spots[i]
		inj[p.na], inj[p.nb] = 1, -1
		v = s.fac.Solve(v, inj)
		inj[p.na], inj[p.nb] = 0, 0
		p.z = [3]float64{v[p.na] - v[p.nb], 0, 0}
		if p.nc < 0 {
			continue
		}
		p.z[1] = v[p.nc] - v[p.nb]
		inj[p.nc], inj[p.nb] = 1, -1
		v = s.fac.Solve(v, inj)
		inj[p.nc], inj[p.nb] = 0, 0
		p.z[2] = v[p.nc] - v[p.nb]
	}
}

// fewSpots is how many spots of each supply are solved again with poor rails
// and joints: the ones with the most resistance.
const fewSpots = 64

// keepWorst leaves only the worst spots of each supply in a scene, by the same
// scene solved with medians.
func (s *scene) keepWorst(solved *scene) {
	order := make([]int, len(s.spots))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(solved.spots[b].ohms(), solved.spots[a].ohms())
	})
	kept := map[int]int{}
	var out []spot
	for _, i := range order {
		if k := s.spots[i].supply; kept[k] < fewSpots {
			kept[k]++
			out = append(out, s.spots[i])
		}
	}
	s.spots = out
}

// left is what the train has of the posts' volts behind so many ohms, 0 where
// it cannot take its current.
func (v *Volts) left(ohms float64) float64 { return max(0, v.Posts-v.TrainAmps*ohms) }

// Reach is what each supply gives to its track under one train, and nothing else
// of a report. It means nothing for a supply that Run left unsolved.
func Reach(l *track.Layout, o Options) ([]Volts, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, fmt.Errorf("could not make the network of the layout: %w", err)
	}
	c := newChecker(n, l, o)
	err = voltCheck{c}.voltages()
	return c.volts, err
}

// voltages works out the volts of every supply and judges them.
func (c voltCheck) voltages() error {
	fresh, err := c.scenes(1, 1)
	if err != nil {
		return err
	}
	for _, s := range fresh {
		s.solve()
	}
	worn, err := c.scenes(math.Exp(c.n.RailLevel), math.Exp(c.n.JointLevel))
	if err != nil {
		return err
	}
	for i, s := range worn {
		s.keepWorst(fresh[i])
		s.solve()
	}
	for s := range c.l.Supplies {
		v, ok := c.supplyVolts(s, fresh, worn)
		if !ok {
			continue
		}
		c.judge(s, &v)
		c.volts = append(c.volts, v)
	}
	return nil
}

// worstOf is the spot of a supply with the most resistance, by a measure.
func worstOf(scenes []*scene, supply int, ohms func(*spot) float64) (most float64, at *spot) {
	for _, sc := range scenes {
		for i := range sc.spots {
			p := &sc.spots[i]
			if p.supply != supply {
				continue
			}
			if r := ohms(p); at == nil || r > most*(1+1e-12) {
				most, at = r, p
			}
		}
	}
	return most, at
}

func (c voltCheck) supplyVolts(s int, fresh, worn []*scene) (Volts, bool) {
	u := &c.l.Supplies[s]
	most, at := worstOf(fresh, s, (*spot).ohms)
	if at == nil {
		return Volts{}, false
	}
	v := Volts{Supply: u.Name, Posts: u.Volts, Worst: c.l.Pieces[at.piece].ID()}
	v.TrainAmps, v.Assumed = c.trainAmps(s)
	v.Volts = v.left(most)
	wornMost, _ := worstOf(worn, s, (*spot).ohms)
	v.WornVolts = v.left(wornMost)
	short, where := worstOf(fresh, s, func(p *spot) float64 { return p.z[0] })
	v.ShortAt = c.l.Pieces[where.piece].ID()
	if short > 0 {
		v.ShortAmps = u.Volts / short
	}
	v.Breaker, v.ShortTrips = u.Breaker, short <= 0 || v.ShortAmps >= holdRatio*u.Breaker
	v.More = feederCheck{c.checker}.oneMore(s, fresh, most, v)
	v.Places = c.places(s, fresh, v)
	return v, true
}

// places lists the volts of every piece of a supply in order, the fewest of its
// spots.
func (c voltCheck) places(s int, scenes []*scene, v Volts) []PlaceVolts {
	least := map[int]float64{}
	for _, sc := range scenes {
		for i := range sc.spots {
			p := &sc.spots[i]
			if p.supply != s {
				continue
			}
			x := v.left(p.ohms())
			if old, ok := least[p.piece]; !ok || x < old {
				least[p.piece] = x
			}
		}
	}
	out := []PlaceVolts{}
	for p := range c.l.Pieces {
		if x, ok := least[p]; ok {
			out = append(out, PlaceVolts{c.l.Pieces[p].ID(), x})
		}
	}
	return out
}

// Limits of the volts at the rail.
const (
	railDC    = 12.0 // NMRA S-9 (1984), I.A: at the railhead, full throttle, largest expected load
	someDrop  = 0.05 // share of the supply's volts; often quoted without a reason, source not named
	muchDrop  = 0.10 // assumed
	hopeless  = 0.50 // assumed
	holdRatio = 1.4  // a 10 A thermal breaker held 14 A for a minute (one report, source not named)
)

const dropBasis = "drop: solved on the layout's network with median resistances; a limit of 5 % is often quoted " +
	"without a reason, 10 % and 50 % are assumed"

// Standards to compare AC volts with; neither is a least value at the rail.
const acBasis = "NEM 640 (1988) cl. 2: 16 V AC running volts, nominal; 5 to 20 V for three-rail AC: a handbook of " +
	"layout wiring, source not named; "

// judge turns the volts of a supply into findings.
func (c voltCheck) judge(s int, v *Volts) {
	u := &c.l.Supplies[s]
	if v.TrainAmps > u.Breaker {
		c.add(Finding{Severity: WontWork, Kind: "train-trips", Place: u.Name, Basis: Arithmetic,
			What: fmt.Sprintf("a train of %.3g A takes more than the breaker of %s lets through (%.3g A)", v.TrainAmps,
				u.Name, u.Breaker),
			Why: "the breaker opens under the train itself",
			Do:  "a supply of more amperes, or a lighter train; not a larger breaker on the same supply"}, nil)
	}
	c.judgeDrop(u, v)
	c.judgeTrip(u, v)
}

func (c voltCheck) judgeDrop(u *track.Supply, v *Volts) {
	drop := (v.Posts - v.Volts) / v.Posts
	low := !u.AC && v.Volts < railDC
	f := Finding{Kind: "volts-low", Place: v.Worst, Basis: dropBasis,
		What: fmt.Sprintf("%s V are left of the %.3g V of %s with a train of %.3g A here", volts(v.Volts), v.Posts,
			u.Name, v.TrainAmps),
		Why: "a train slows down on the way here, and lamps grow dim",
		Do:  "thicker wire or more feeders"}
	if v.More != nil {
		f.Do = fmt.Sprintf("one more feeder (%s) at %s: the worst place then has %s V", v.More, v.More.At,
			volts(v.More.Volts))
	}
	switch {
	case drop >= hopeless:
		f.Severity, f.Why = WontWork, "more than half of the volts stay in rails, joints and wires: the train does "+
			"not get here"
	case drop >= muchDrop || low && v.Posts > railDC && drop >= someDrop:
		f.Severity = Badly
	case drop >= someDrop || low:
		f.Severity = GoodToKnow
	default:
		return
	}
	if u.AC {
		f.Basis = acBasis + f.Basis
	}
	if low {
		const standard = "NMRA S-9 (1984) I.A: two-rail DC, at least 12 V at the railhead at full throttle under the " +
			"largest expected load"
		f.Basis = standard + "; " + f.Basis
		if drop < someDrop {
			f.Basis = standard + "; NMRA RP-9 (not opened, quoted beside S-9): 12 to 16 V from the supply"
			f.Kind, f.Why = "volts-below-standard",
				"NMRA S-9 wants 12 V there; the drop itself is small, the supply gives little"
			f.Do = "nothing if your engines run fast enough; else a supply of 12 to 16 V"
		}
	}
	c.add(f, []int{c.l.FindPiece(v.Worst)})
}

// judgeTrip looks whether the breaker opens on a dead short at the far end.
func (c voltCheck) judgeTrip(u *track.Supply, v *Volts) {
	if v.ShortTrips {
		return
	}
	f := Finding{Severity: Badly, Kind: "breaker-slow", Place: v.ShortAt,
		What: fmt.Sprintf("a dead short here takes %s at most, and the breaker of %s is %s", amperes(v.ShortAmps),
			u.Name, amperes(u.Breaker)),
		Why: "so close to its rating a breaker may hold for a minute or more, and all that time rails, joints and " +
			"wires are heated",
		Do: "thicker wire, more feeders, or a smaller breaker",
		Caution: "never try this out by shorting the track and waiting: a breaker that does not open at once is the " +
			"finding. Warm track after a short: switch off and let it cool",
		Basis: "solved on the layout's network, the supply taken as stiff; a 10 A thermal breaker that held 14 A for " +
			"a minute: one report, source not named"}
	if v.ShortAmps < u.Breaker {
		f.Severity, f.Kind, f.Why = NotSafe, "breaker-blind",
			"the breaker never opens on it: a derailed car can heat track and wires until something burns"
	}
	c.add(f, []int{c.l.FindPiece(v.ShortAt)})
}

// amperes prints amperes with two digits that count.
func amperes(a float64) string { return unit.FormatDigits(a, unit.Ampere, 2) }

// volts prints volts to a tenth.
func volts(v float64) string { return fmt.Sprintf("%.1f", v) }
