package hunt

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// instruct gives what is wanted now its steps and cautions: from what hands
// have done to what it wants.
func (gd guide) instruct(s *Step) []Move {
	switch {
	case s.Ask != nil:
		return gd.instructAsk(s.Ask)
	case s.Inspect != nil:
		moves := gd.movesToLook()
		s.Inspect.Steps, s.Inspect.Cautions = gd.say().words(moves), gd.cautionsOfLook(s.Inspect)
		return moves
	case s.Done == nil:
		return nil
	case s.Done.Prove != nil && !gd.quit:
		s.Done.Steps = []string{}
		return gd.instructAsk(s.Done.Prove)
	}
	if s.Done.Prove != nil {
		gd.instructAsk(s.Done.Prove)
	}
	want := gd.hands().home()
	moves := gd.hands().moves(&gd.bench, &want)
	if s.Done.Proven {
		moves = gd.running(moves)
	}
	s.Done.Steps = gd.say().words(moves)
	return moves
}

// running is moves, and then on again what is off, or is switched off for them. Where
// nothing is done in between, a handle that is turned down is enough. A beeper or ohms that
// is left on the rails would have the track's volts: the meter goes off first.
func (gd guide) running(moves []Move) []Move {
	if len(moves) == 1 && moves[0].Act == ActOff && !moves[0].Battery && !moves[0].See && len(moves[0].All) == 0 {
		return []Move{{Act: ActHandle, Of: moves[0].Of, To: "down"}}
	}
	out := moves
	off := slices.ContainsFunc(moves, func(m Move) bool { return m.Act == ActOff && !m.Battery })
	first := true
	for i, p := range gd.bench.power {
		if !off && p == yes && gd.bench.feed[i]&standsIn == 0 {
			continue
		}
		if first && gd.hands().harmed(&gd.bench) {
			out = append(out, Move{Act: ActDial, To: dialOff})
		}
		out, first = append(out, Move{Act: ActOn, Of: i, To: "down"}), false
	}
	return out
}

// parting takes off what power may be on when somebody leaves: what the readings so far
// left on, and what is asked for now. How the layout is run else is not the hunt's.
func (gd guide) parting(s *Step) []string {
	ask, from := s.Ask, gd.bench
	if s.Done != nil && !s.Done.Proven {
		ask = s.Done.Prove
	}
	if gd.last == nil {
		from = from.off()
	}
	if ask != nil {
		if q, err := ask.On(gd.net); err == nil {
			want := gd.hands().wantedNow(&gd.bench, &q)
			if gd.last != nil {
				want = from.or(want)
			}
			from = want
		}
	}
	m := mover{matter: gd.hands().matter, from: &from}
	return gd.say().words(m.off(true))
}

func (gd guide) instructAsk(a *Ask) []Move {
	q, err := a.On(gd.net)
	if err != nil { // cannot be: the hunt wrote the names
		return nil
	}
	want := gd.hands().wantedNow(&gd.bench, &q)
	moves := gd.hands().moves(&gd.bench, &want)
	if gd.pricing().reach(&q) > gd.pricing().leads() {
		at := slices.IndexFunc(moves, func(m Move) bool { return m.Act == ActHandle || m.Act == ActOn })
		if at < 0 {
			at = len(moves)
		}
		long := Move{Act: ActLengthen, To: a.Meter, Names: []string{metres(gd.pricing().reach(&q))},
			AtHand: gd.pricing().extension()}
		moves = slices.Insert(moves, at, long)
	}
	if gd.symptom.Sometimes && gd.found == "" {
		m := Move{Act: ActProvoke}
		if q.Setup.Source.Kind != conductor.SourceNone {
			m.To = "live"
		}
		moves = append(moves, m)
	}
	a.Steps, a.Cautions = gd.say().words(moves), gd.cautions(&q, moves)
	return moves
}

// movesToLook makes the table safe to lift pieces on; that is said even where
// it should be so.
func (gd guide) movesToLook() []Move {
	m := mover{matter: gd.hands().matter, from: &gd.bench}
	m.clear()
	out := m.off(true)
	if len(out) > 0 {
		return append(out, m.hands...)
	}
	for i := range gd.layout.Supplies {
		if gd.bench.feed[i]&^standsIn != 0 {
			out = append(out, Move{Act: ActOff, All: []int{i}, See: true})
		}
		if gd.bench.feed[i]&standsIn != 0 {
			out = append(out, Move{Act: ActOff, Of: i, Battery: true, See: true})
		}
	}
	return append(out, m.hands...)
}

// moves leads from one bench to another: power off first where hands touch
// anything, on again last.
func (hd hands) moves(from, to *bench) []Move {
	m := mover{matter: hd.matter, from: from, to: to}
	var out []Move
	m.clear()
	m.meter()
	m.feeds()
	m.loads(from, to, ActTake)
	m.seat()
	m.joints()
	m.each(from.pulled, to.pulled, ActPull, ActHang)
	m.points()
	m.each(from.bare, to.bare, ActUnplug, ActReplug)
	m.loads(to, from, ActLay)
	m.lampIn()
	off := m.off(len(m.hands) > 0)
	out = append(append(out, off...), m.hands...)
	if to.dial != "" && to.dial != from.dial {
		out = append(out, Move{Act: ActDial, To: to.dial})
	}
	return append(out, m.on(len(off) > 0)...)
}

// mover gathers the moves from one bench to another.
type mover struct {
	matter   *matter
	from, to *bench
	hands    []Move // those that want the power off
}

func (m *mover) do(x Move) { m.hands = append(m.hands, x) }

// off switches off what may be on and should not be, or all of it where hands
// touch something.
func (m *mover) off(all bool) []Move {
	var packs []int
	var out []Move
	for i, p := range m.from.power {
		if p&yes == 0 || !all && m.to.power[i] == yes {
			continue
		}
		if m.from.feed[i]&^standsIn != 0 {
			packs = append(packs, i)
		}
		if m.from.feed[i]&standsIn != 0 {
			out = append(out, Move{Act: ActOff, Of: i, Battery: true})
		}
	}
	if len(packs) > 0 {
		out = append(out, Move{Act: ActOff, All: packs})
	}
	return out
}

// on switches on what feeds the track.
func (m *mover) on(wentOff bool) []Move {
	var out []Move
	for i, p := range m.to.power {
		if p != yes {
			continue
		}
		battery := m.to.feed[i]&standsIn != 0
		see := m.from.power[i]&yes != 0 && !wentOff
		if !battery && !see {
			out = append(out, Move{Act: ActHandle, Of: i})
		}
		out = append(out, Move{Act: ActOn, Of: i, Battery: battery, See: see})
	}
	return out
}

// clear takes trains off the rails.
func (m *mover) clear() {
	if m.from.trains&yes != 0 {
		m.do(Move{Act: ActClear})
	}
}

// meter takes the meter out of the lamp's wire; in comes with the lamp.
func (m *mover) meter() {
	if m.from.inline&yes != 0 && m.to.inline == no {
		m.do(Move{Act: ActMeterOut, See: m.from.inline == perhaps})
	}
}

// feeds takes lamps out and puts the wires where they are wanted. What may be
// half done is done anew.
func (m *mover) feeds() {
	for i, s := range m.from.feed {
		w := m.to.feed[i]
		if s == w {
			continue
		}
		unsure := s&w != 0 || s&(s-1) != 0
		if s&(feedLamp|feedBattery) != 0 {
			m.do(Move{Act: ActLampOut, Of: i, See: unsure})
		}
		if s&feedBare != 0 {
			m.do(Move{Act: ActPlusOff, Of: i, See: unsure})
		}
		if s&standsIn != 0 && w&standsIn == 0 {
			m.do(Move{Act: ActMinusOff, Of: i, See: unsure})
		}
		for _, side := range [2]string{"hot", "common"} {
			onPost, on := feedPosts, w == feedPosts
			if side == "common" {
				onPost, on = feedPosts|feedLamp, w == feedPosts || w == feedLamp
			}
			switch {
			case on && s&^onPost != 0:
				m.do(Move{Act: ActWiresOn, Of: i, Side: side, See: s&onPost != 0})
			case !on && s&onPost != 0:
				m.do(Move{Act: ActWiresOff, Of: i, Side: side, See: s&^onPost != 0})
			}
		}
	}
}

// lampIn puts the lamp in, after everything else is in place.
func (m *mover) lampIn() {
	for i, w := range m.to.feed {
		if s := m.from.feed[i]; s != w && w&standsIn != 0 {
			if m.matter.kit.Battery {
				m.do(Move{Act: ActFuse, Of: i, Battery: true})
			}
			m.do(Move{Act: ActMinusOn, Of: i, Battery: true})
			in := ActLampIn
			if w == feedBare {
				in = ActPlusOn
			}
			m.do(Move{Act: in, Of: i, Battery: true})
		} else if s != w && w == feedLamp {
			m.do(Move{Act: ActLampIn, Of: i})
		}
	}
	if m.to.inline == yes && m.from.inline != yes {
		m.do(Move{Act: ActMeterIn})
	}
}

// loads takes away, or lays, what lies in one bench and not in the other.
func (m *mover) loads(in, notIn *bench, act Act) {
	for _, x := range in.loads {
		if other := notIn.lies(x.load); x.is&yes != 0 && other != yes {
			m.do(Move{Act: act, Load: x.load, See: x.is == perhaps || other == perhaps})
		}
	}
}

// seat puts back what was out to be looked at, with its joints; See: every piece.
func (m *mover) seat() {
	if len(m.from.out) > 0 || m.from.strays {
		m.do(Move{Act: ActSeat, Names: m.from.out, See: m.from.anywhere()})
	}
}

// joints opens and closes joints; what may be open at a piece that was seated is said
// with that.
func (m *mover) joints() {
	from := m.from
	if from.strays || len(from.out) > 0 {
		seated := from.or(*from)
		for i, j := range seated.lifted {
			if j == yes && m.atOut(i) {
				seated.lifted[i] = perhaps
			}
		}
		from = &seated
	}
	before := len(m.hands)
	m.each(from.lifted, m.to.lifted, ActLift, ActClose)
	left := slices.DeleteFunc(m.hands[before:], func(x Move) bool {
		seated := x.Act == ActClose && x.See && m.atOut(x.Of)
		if seated {
			m.hands[before-1].All = append(m.hands[before-1].All, x.Of)
		}
		return seated
	})
	m.hands = append(m.hands[:before:before], together(left)...)
}

// together says of all joints that may be closed already in one move that they are.
func together(moves []Move) []Move {
	var out []Move
	see := Move{Act: ActClose, See: true}
	for _, x := range moves {
		if x.Act == ActClose && x.See {
			see.All = append(see.All, x.Of)
		} else {
			out = append(out, x)
		}
	}
	if len(see.All) > 0 {
		out = append(out, see)
	}
	return out
}

// atOut says whether a joint is one of a piece that may be out.
func (m *mover) atOut(joint int) bool {
	if m.from.anywhere() {
		return true
	}
	l := m.matter.layout
	j := &l.Joints[joint]
	return slices.ContainsFunc(m.from.out, func(name string) bool {
		p := l.FindPiece(name)
		return p >= 0 && (p == j.A.Piece || p == j.B.Piece)
	})
}

// each makes every thing of a list as it is wanted.
func (m *mover) each(from, to []may, is, isNot Act) {
	for _, want := range [2]may{yes, no} {
		act := is
		if want == no {
			act = isNot
		}
		for i := range from {
			if to[i] == want && from[i] != want {
				feeder := act == ActPull || act == ActHang
				m.do(Move{Act: act, Of: i, See: from[i] == perhaps, Loose: feeder && m.loose(i)})
			}
		}
	}
}

// loose says whether a feeder's wires hang on others that are off their posts.
func (m *mover) loose(feeder int) bool {
	on := m.matter.layout.Feeders[feeder].On
	return on.Kind == track.OnSupply && m.to.feed[on.Index] != feedPosts
}

// points sets toggles and turnouts.
func (m *mover) points() {
	if m.from.filed != yes && (len(m.matter.layout.Toggles) > 0 || len(m.matter.engine.Routing()) > 0) {
		m.do(Move{Act: ActFiled, See: true})
	}
	m.each(m.from.second, m.to.second, ActSecond, ActFirst)
	for _, t := range m.from.thrown(m.to) {
		m.do(Move{Act: ActThrow, Of: t, To: m.to.route(t)[0], See: len(m.from.route(t)) > 1})
	}
}
