package bench

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// circuit is the table at one moment, solved. Its nodes are those of the network,
// then two for the posts of each supply, then two for the battery, then the
// places where bridges lie along a rail.
type circuit struct {
	b     *Bench
	nodes int
	edges []nodal.Edge
	ties  [][2]int
	bends []bend // what changes its resistance with its volts
	feeds []feed
	cuts  map[int][]cut // by link
	f     *nodal.Factor
	v     []float64
}

// bend is a filament (or another load) between two nodes.
type bend struct {
	u, v int
	ohms func(volts float64) float64
	now  float64
	lamp int // how many of the lamps of the kit, in series
}

// feed is a source: so many volts behind its own resistance.
type feed struct {
	plus, minus int
	volts, ohms float64
	supply      int // -1: the battery
}

// cut is a node along a link, that part of the way from A.
type cut struct {
	at   float64
	node int
}

func (b *tabletop) post(supply, side int) int  { return b.net.Nodes + 2*supply + side }
func (b *tabletop) terminal(side int) int      { return b.net.Nodes + 2*len(b.supplies) + side }
func (b *tabletop) bunch(supply, side int) int { return b.net.NodeOf(b.net.Posts[supply][side]) }

// now solves the table as it is, trips what trips and blows what blows.
func (b *Bench) now() (*circuit, error) {
	for range 1 + len(b.supplies) + 1 {
		if b.solved != nil {
			return b.solved, nil
		}
		c, err := b.draw()
		if err == nil {
			err = c.settle()
		}
		if err != nil {
			return nil, err
		}
		b.solved = c
		b.judge(c) // may change the table
	}
	return b.solved, nil
}

// draw gathers what is joined to what.
func (b *Bench) draw() (*circuit, error) {
	c := &circuit{b: b, nodes: b.net.Nodes + 2*len(b.supplies) + 2, cuts: map[int][]cut{}}
	if !b.away {
		for i := range b.Faults {
			c.bridge(i)
		}
	}
	for i := range b.net.Links {
		c.link(i)
	}
	for i := range b.supplies {
		c.supply(i)
	}
	c.standIn()
	for i := range b.Layout.Accessories {
		c.accessory(i)
	}
	for _, s := range b.laid {
		if err := c.strap(s); err != nil {
			return nil, err
		}
	}
	if b.trains {
		c.engine()
	}
	return c, nil
}

func (c *circuit) add(u, v int, ohms float64) {
	switch {
	case math.IsInf(ohms, 1) || u == v:
	case ohms <= 0:
		c.ties = append(c.ties, [2]int{u, v})
	default:
		c.edges = append(c.edges, nodal.Edge{U: u, V: v, Ohms: ohms})
	}
}

// supply joins a supply's wires to its posts, and what it has inside to them.
func (c *circuit) supply(i int) {
	b, s := c.b, &c.b.supplies[i]
	for side, on := range [2]bool{s.hot, s.common} {
		if on {
			c.add(b.post(i, side), b.bunch(i, side), 0)
		}
	}
	if b.lamp.wires == i && !b.lamp.battery {
		c.bulbs(b.post(i, 0), b.bunch(i, 0), b.lamp.lamps)
	}
	plus, minus := b.post(i, 0), b.post(i, 1)
	if w := b.net.Windings[i]; w != b.net.Posts[i] {
		plus, minus = b.net.NodeOf(w[0]), b.net.NodeOf(w[1])
	}
	volts := 0.0
	if s.live() {
		volts = s.handle * b.Layout.Supplies[i].Volts
	}
	c.feeds = append(c.feeds, feed{plus, minus, volts, WindingOhms, i})
}

// standIn joins the battery: its minus to common wires, its plus to the lamp. The
// clip on its plus makes it live.
func (c *circuit) standIn() {
	b := c.b
	if b.battery.minus >= 0 {
		c.add(b.terminal(1), b.bunch(b.battery.minus, 1), 0)
	}
	if b.lamp.wires >= 0 && b.lamp.battery {
		c.bulbs(b.terminal(0), b.bunch(b.lamp.wires, 0), b.lamp.lamps)
	}
	if b.battery.plus >= 0 {
		c.add(b.terminal(0), b.bunch(b.battery.plus, 0), 0)
	}
	if b.battery.clip && !b.battery.blown {
		c.feeds = append(c.feeds, feed{b.terminal(0), b.terminal(1), b.Battery.Volts, batteryOhms, -1})
	}
}

// bulbs are n lamps in series, which share the volts.
func (c *circuit) bulbs(u, v, n int) {
	c.bends = append(c.bends, bend{u: u, v: v, lamp: n,
		ohms: func(volts float64) float64 { return float64(n) * c.b.Lamp.Ohms(volts/float64(n)) }})
}

func (c *circuit) strap(s strap) error {
	u, err := c.b.place(s.from)
	if err != nil {
		return err
	}
	v, err := c.b.place(s.to)
	if err != nil {
		return err
	}
	switch {
	case s.lamps > 0:
		c.bulbs(u, v, s.lamps)
	case s.load > 0:
		volts := c.b.Layout.Supplies[0].Volts
		c.bends = append(c.bends, bend{u: u, v: v, ohms: Filament{volts, volts / s.load}.Ohms})
	default:
		c.add(u, v, ClipLeadOhms)
	}
	return nil
}

// ClipLeadOhms is a short wire with a clip at each end (assumed).
const ClipLeadOhms = 0.02

// accessory is what an accessory takes: a filament by its volts, a coil its wire
// alone unless AC is on it, the LED kind nothing from a meter.
func (c *circuit) accessory(i int) {
	burnt := func(f simulate.Fault) bool { return f.Suspect.Burnt(c.b.net, i) }
	if c.b.unplugged[i] || slices.ContainsFunc(c.b.Faults, burnt) {
		return
	}
	a := &c.b.Layout.Accessories[i]
	at := c.b.net.AccessoryPoints[i]
	hot := a.HotOhms()
	ohms := func(volts float64) float64 {
		return math.Max(a.ColdOhms, hot*math.Pow(math.Abs(volts)/a.Volts, 1-filamentPower))
	}
	switch a.Kind {
	case track.Relay, track.Motor:
		ohms = func(volts float64) float64 {
			if c.b.alternating() && math.Abs(volts) > 0.1 {
				return hot
			}
			return a.ColdOhms
		}
	case track.LED:
		ohms = func(volts float64) float64 {
			if math.Abs(volts) > 2 {
				return hot
			}
			return 1e7
		}
	}
	c.bends = append(c.bends, bend{u: c.b.net.NodeOf(at[0]), v: c.b.net.NodeOf(at[1]), ohms: ohms})
}

// engineOhms is an engine that nobody took off (a motor that stands still).
const engineOhms = 6

// engine stands on the first piece that has both rails in its middle.
func (c *circuit) engine() {
	for p := range c.b.Layout.Pieces {
		k := c.b.Layout.Pieces[p].Construction
		hot, common := c.b.net.Middle(p, k.Hot), c.b.net.Middle(p, k.Common)
		if hot >= 0 && common >= 0 && !c.b.out[p] {
			c.add(c.b.net.NodeOf(hot), c.b.net.NodeOf(common), engineOhms)
			return
		}
	}
}

// settle solves with every filament at the volts that it gets: a fixed point,
// which closes in since a filament's resistance goes with less than the first
// power of its volts.
func (c *circuit) settle() error {
	for i := range c.bends {
		c.bends[i].now = c.bends[i].ohms(1)
	}
	for range 60 {
		if err := c.solve(); err != nil {
			return err
		}
		worst := 0.0
		for i := range c.bends {
			d := &c.bends[i]
			next := math.Sqrt(d.now * d.ohms(c.v[d.u]-c.v[d.v]))
			worst = math.Max(worst, math.Abs(math.Log(next/d.now)))
			d.now = next
		}
		if worst < 1e-6 {
			return nil
		}
	}
	return fmt.Errorf("the lamps on this table do not settle")
}

func (c *circuit) solve() error {
	edges := c.edges[:len(c.edges):len(c.edges)]
	for _, d := range c.bends {
		edges = append(edges, nodal.Edge{U: d.u, V: d.v, Ohms: d.now})
	}
	inject := make([]float64, c.nodes)
	for _, s := range c.feeds {
		edges = append(edges, nodal.Edge{U: s.plus, V: s.minus, Ohms: s.ohms})
		inject[s.plus] += s.volts / s.ohms
		inject[s.minus] -= s.volts / s.ohms
	}
	f, err := nodal.NewFactor(c.nodes, edges, c.ties)
	if err != nil {
		return err
	}
	c.f, c.v = f, f.Solve(nil, inject)
	return nil
}

// amps is what a feed delivers.
func (c *circuit) amps(s *feed) float64 { return (s.volts - (c.v[s.plus] - c.v[s.minus])) / s.ohms }

// place is the node of a place by its name.
func (b *tabletop) place(name string) (int, error) {
	for i := range b.Layout.Supplies {
		for side, word := range sides {
			supply := b.Layout.Supplies[i].Name
			switch name {
			case supply + " " + word + " post":
				return b.post(i, side), nil
			case joined(supply, word):
				return b.bunch(i, side), nil
			}
		}
	}
	if name == BatteryPlus {
		return b.terminal(0), nil
	}
	if p := b.net.Find(name); p >= 0 {
		return b.net.NodeOf(p), nil
	}
	return 0, fmt.Errorf("there is no place %q on this table", name)
}

// known is the name that a place has on the network.
func (b *tabletop) known(name string) string {
	for i := range b.Layout.Supplies {
		for side, word := range sides {
			if name == joined(b.Layout.Supplies[i].Name, word) {
				return b.net.Points[b.net.Posts[i][side]].Name
			}
		}
	}
	return name
}

// BatteryPlus names the plus of the battery: the supply's side of a lamp that lies
// there.
const BatteryPlus = "battery plus"

var sides = [2]string{"hot", "common"}

// joined is how a person calls the place where the wires of one side join.
func joined(supply, side string) string { return "where the " + side + " wires of " + supply + " join" }

// alternating says whether what feeds the track is AC.
func (b *Bench) alternating() bool {
	for i := range b.supplies {
		if s := &b.supplies[i]; s.live() && (s.hot || s.common || b.lamp.wires == i && !b.lamp.battery) {
			return b.Layout.Supplies[i].AC
		}
	}
	return false
}

// leaves says whether the hands have left a link in place.
func (b *Bench) leaves(k *conductor.Link) bool {
	switch k.Kind {
	case conductor.KindJoint, conductor.KindGap:
		j := &b.Layout.Joints[k.Joint]
		return !b.lifted[k.Joint] && !b.out[j.A.Piece] && !b.out[j.B.Piece]
	case conductor.KindFeeder:
		return !b.pulled[k.Feeder]
	case conductor.KindClip:
		return !b.out[b.Layout.Feeders[k.Feeder].At.Piece]
	case conductor.KindSwitch:
		route := b.thrown[k.Turnout]
		return k.When == route || route == "" && k.When == track.EndThrough
	case conductor.KindToggle:
		return b.off[k.Toggle] == (k.When == conductor.WhenOff)
	case conductor.KindLoad:
		return false // an accessory of its own
	case conductor.KindInsulation:
		return k.Accessory < 0 || !b.unplugged[k.Accessory]
	}
	return true
}
