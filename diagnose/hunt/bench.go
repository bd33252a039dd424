package hunt

import (
	"maps"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// may is what can be true of one thing on the table: that it is not so, that
// it is, or either, where nobody knows whether hands did what was asked.
type may uint8

const (
	no      may = 1
	yes     may = 2
	perhaps     = no | yes
)

func maybe(b bool) may {
	if b {
		return yes
	}
	return no
}

// feed is how the wires of a supply hang; of several that can be, all bits are
// set.
type feed uint8

const (
	feedPosts   feed = 1 << iota // on its posts
	feedOff                      // off its posts, the hot ones joined to each other, and so the common ones
	feedLamp                     // the hot ones off, and a lamp between the hot post and them
	feedBattery                  // all off, and a battery or DC pack in its place behind the lamp
	feedBare                     // the same without a lamp: what it carries lies across the rails
	standsIn    = feedBattery | feedBare
)

// bench is the one record of what hands have done to the table: every thing
// with all that can be true of it. It is a value: what a reading wants is a bench
// too, with one value of each thing, and steps lead from the one to the other.
type bench struct {
	trains may   // something stands on the rails
	filed  may   // points and toggles were seen to stand as in daily use
	power  []may // per supply: plugged in and on; of a battery: its clip on
	feed   []feed
	lifted []may // per joint
	pulled []may // per feeder
	second []may // per toggle: in its second position
	bare   []may // per accessory: off its wires
	routes map[int][]string
	loads  []laid
	out    []string // what was looked at and may lie beside the track
	strays bool     // other pieces may too, see anywhere
	dial   string   // the meter's setting, empty when it can be any
	inline may      // the meter sits in the lamp's wire, leads in its ampere sockets
}

// anywhere says whether any piece may be out: nobody knows which one hands have been at.
func (b *bench) anywhere() bool { return b.strays || slices.Contains(b.out, infer.ClassOffTrack) }

// laid is something that was laid across two points.
type laid struct {
	load conductor.Load
	is   may
}

// daily is the table before anybody did anything: in daily use, on or off.
func daily(l *track.Layout) bench {
	b := bench{trains: perhaps, filed: perhaps, inline: no}
	for range l.Supplies {
		b.power, b.feed = append(b.power, perhaps), append(b.feed, feedPosts)
	}
	usual := conductor.Usual(l)
	b.states(l, &usual)
	return b
}

// states sets what opens and closes links as a set-up has it.
func (b *bench) states(l *track.Layout, s *conductor.Setup) {
	each := func(n int, in []int) []may {
		out := make([]may, n)
		for i := range out {
			out[i] = maybe(conductor.Has(in, i))
		}
		return out
	}
	b.lifted, b.pulled = each(len(l.Joints), s.Lifted), each(len(l.Feeders), s.Pulled)
	b.second, b.bare = each(len(l.Toggles), s.Off), each(len(l.Accessories), s.Unplugged)
	b.routes = map[int][]string{}
	for t, r := range s.Thrown {
		b.routes[t] = []string{r}
	}
}

// route is where a turnout can stand.
func (b *bench) route(t int) []string {
	if r, ok := b.routes[t]; ok {
		return r
	}
	return []string{track.EndThrough}
}

// wanted is the table as a reading wants it.
func (hd hands) wanted(s *conductor.Setup, f meter.Function) bench {
	b := bench{trains: no, filed: yes, dial: hd.dialOf(f), inline: maybe(f == meter.Amps)}
	b.states(hd.layout, s)
	for range hd.layout.Supplies {
		// A winding is a path to an ohmmeter, and one that is fed through the track
		// has live pins: a supply that feeds nothing hangs on no wires.
		b.power, b.feed = append(b.power, no), append(b.feed, feedOff)
	}
	for _, x := range s.Sources() {
		if i := hd.supplyAt(x.From); i >= 0 {
			b.power[i], b.feed[i] = yes, feedPosts
			if x.Kind == conductor.SourceLamp {
				b.feed[i] = feedLamp
			}
			if hd.isStandIn(x, i) {
				b.feed[i] = feedBattery
				if x.Kind == conductor.SourceVolts {
					b.feed[i] = feedBare
				}
			}
		}
	}
	for _, l := range s.Loads {
		b.loads = append(b.loads, laid{l, yes})
	}
	return b
}

// wantedNow is the table that a question wants, from the one that there is: where
// the lamp is watched alone, the dial stands where it stood, but for one that power
// would harm.
func (hd hands) wantedNow(b *bench, q *infer.Question) bench {
	want := hd.wanted(&q.Setup, q.Func)
	if want.dial == "" && hd.harmed(b) && slices.Contains(want.power, yes) {
		want.dial = dialOff
	}
	return want
}

// harmed says whether the meter may stand at what power on the track would harm.
func (hd hands) harmed(b *bench) bool {
	return slices.Contains([]string{hd.dial(meter.Beeper), hd.dial(meter.Ohms), dialAnywhere}, b.dial)
}

// dialOff is a meter that is off, dialAnywhere one whose dial hands may have turned
// or not.
const dialOff, dialAnywhere = "off", "anywhere"

// home is the table put back for running trains, the power on or not.
func (hd hands) home() bench {
	s := conductor.Usual(hd.layout)
	b := hd.wanted(&s, meter.Lamp)
	for i := range b.feed {
		b.power[i], b.feed[i] = perhaps, feedPosts
	}
	return b
}

// supplyAt is the supply whose posts, or winding, a point is; -1.
func (g *ground) supplyAt(point int) int {
	for i := range g.net.Posts {
		if g.net.Posts[i][0] == point || i < len(g.net.Windings) && g.net.Windings[i][0] == point {
			return i
		}
	}
	return -1
}

// isStandIn says whether a source is the battery or DC pack in a supply's place.
func (hd hands) isStandIn(x conductor.Source, supply int) bool {
	s := &hd.layout.Supplies[supply]
	bare := x.Kind == conductor.SourceVolts && hd.standsBare()
	return (bare || x.Kind == conductor.SourceLamp) && hd.kit.DCVolts > 0 && x.Volts == hd.kit.DCVolts &&
		(hd.standIn() || s.Volts != hd.kit.DCVolts)
}

// dialOf is the meter's setting for a reading, empty where it needs none.
func (hd hands) dialOf(f meter.Function) string {
	if f == meter.Lamp {
		return ""
	}
	return hd.dial(f)
}

// or is either of two benches, thing by thing: hands may have done a part.
func (b bench) or(o bench) bench {
	out := bench{trains: b.trains | o.trains, filed: b.filed | o.filed, inline: b.inline | o.inline,
		power: either(b.power, o.power), feed: either(b.feed, o.feed), lifted: either(b.lifted, o.lifted),
		pulled: either(b.pulled, o.pulled), second: either(b.second, o.second), bare: either(b.bare, o.bare),
		routes: map[int][]string{}, strays: b.strays || o.strays}
	for _, m := range [2]map[int][]string{b.routes, o.routes} {
		for t := range m {
			both := slices.Concat(b.route(t), o.route(t))
			slices.Sort(both)
			out.routes[t] = slices.Compact(both)
		}
	}
	out.out = slices.Concat(b.out, o.out)
	slices.Sort(out.out)
	out.out = slices.Compact(out.out)
	for _, x := range b.loads {
		x.is |= o.lies(x.load)
		out.loads = append(out.loads, x)
	}
	for _, x := range o.loads {
		if b.lies(x.load) == no {
			out.loads = append(out.loads, laid{x.load, x.is | no})
		}
	}
	if out.dial = b.dial; o.dial != "" && o.dial != b.dial {
		out.dial = dialAnywhere
	}
	return out
}

func either[T may | feed](a, b []T) []T {
	out := slices.Clone(a)
	for i := range out {
		out[i] |= b[i]
	}
	return out
}

// lies says whether a load is laid.
func (b *bench) lies(l conductor.Load) may {
	for _, x := range b.loads {
		if x.load == l {
			return x.is
		}
	}
	return no
}

// read is the table after a reading for which it stood as wanted: between
// readings hands may switch off, as the cautions ask.
func (b bench) read(want bench) bench {
	if want.dial == "" {
		want.dial = b.dial
	}
	want.power = slices.Clone(want.power)
	for i := range want.power {
		want.power[i] |= no
	}
	return want
}

// off is the table with all power off.
func (b bench) off() bench {
	b.power = slices.Repeat([]may{no}, len(b.power))
	return b
}

// looked is the table after a look at a class: it lies beside the track, and
// what belongs to it was in hands.
func (b bench) looked(m *matter, class string) bench {
	b = b.or(b)
	b.out = append(b.out, class)
	slices.Sort(b.out)
	b.out = slices.Compact(b.out)
	l := m.layout
	doubt := func(list []may, i int) {
		if list[i] == yes {
			list[i] = perhaps
		}
	}
	if p := l.FindPiece(class); p >= 0 {
		for _, e := range l.Pieces[p].Ends {
			if e.Joint >= 0 {
				doubt(b.lifted, e.Joint)
			}
		}
		if slices.Contains(m.engine.Routing(), p) {
			b.routes[p] = slices.Clone(turnoutEnds)
		}
	}
	for i := range l.Feeders {
		if l.Feeders[i].Name == class {
			doubt(b.pulled, i)
		}
	}
	for i := range l.Toggles {
		if l.Toggles[i].Name == class || l.Toggles[i].Part() == class {
			b.second[i] = perhaps
		}
	}
	for i := range l.Accessories {
		if l.Accessories[i].Name == class {
			doubt(b.bare, i)
		}
	}
	if class == infer.ClassOffTrack {
		b.trains = perhaps
	}
	return b
}

// turnoutEnds are where a turnout can be thrown to.
var turnoutEnds = []string{track.EndDiverging, track.EndThird, track.EndThrough}

// worked notes what hands did for an entry.
func (sit *Situation) worked(en *entry) {
	var want *bench
	if en.Ask != nil {
		if q, err := en.Ask.On(sit.net); err == nil {
			w := sit.hands().wantedNow(&sit.bench, &q)
			if q.Func != meter.Lamp && en.Ask.Current != "" { // the kit of now may read the other current
				w.dial = en.Ask.Dial
			}
			want = &w
			if en.Event.Reading != "" {
				sit.last = &q.Setup
			}
		}
	}
	sit.bench = sit.hands().after(sit.bench, en, want)
}

// after is the table after an entry; want is what the reading wanted that was
// asked for then.
func (hd hands) after(b bench, en *entry, want *bench) bench {
	e := &en.Event
	switch {
	case e.Reading != "" && want != nil:
		return b.read(*want)
	case en.Shown == shownLook:
		stray := b.off()
		stray.strays = true
		b = b.or(stray)
	case en.Shown == shownHome:
		if b = b.or(hd.home()); hd.harmed(&b) {
			b.dial = dialAnywhere // it may have been turned off for the power
		}
	case want != nil:
		b = b.or(*want)
	}
	if class := e.Found + e.NotFound; class != "" {
		if en.Shown == shownLook {
			b = b.off()
			b.trains = no
		} else {
			b = b.or(b.off())
		}
		b = b.looked(hd.matter, class)
	}
	return b
}

// What was shown when something was said, besides a reading.
const (
	shownLook = "look" // pieces to look at
	shownHome = "home" // how to put everything back
)

// bare is an ask without its words: what it asks hands for.
func (a *Ask) bare() *Ask {
	return &Ask{N: a.N, Meter: a.Meter, Red: a.Red, Black: a.Black, Setup: a.Setup, Minutes: a.Minutes,
		Expect: []Outcome{}, Steps: []string{}, at: a.at}
}

// now is the set-up that the last reading left behind; before the first one the
// points are thought to be thrown as they stood.
func (sit *Situation) now() conductor.Setup {
	if sit.last == nil {
		s := conductor.Usual(sit.layout)
		s.Thrown = sit.stood()
		return s
	}
	return *sit.last
}

// From gives how things stand where hands have gone on since the last reading and
// set is how the layout stands now: asks count their minutes from there.
func From(s Situation, set *conductor.Setup) Situation {
	s.last = set
	return s
}

// mayBe lists the things that are so, or may be.
func mayBe(list []may) []int {
	var out []int
	for i, m := range list {
		if m&yes != 0 {
			out = append(out, i)
		}
	}
	return out
}

// thrown lists the turnouts that can stand elsewhere than a bench wants.
func (b *bench) thrown(want *bench) []int {
	both := maps.Clone(b.routes)
	maps.Copy(both, want.routes)
	var out []int
	for t := range both {
		if !slices.Equal(b.route(t), want.route(t)) {
			out = append(out, t)
		}
	}
	slices.Sort(out)
	return out
}
