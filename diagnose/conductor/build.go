package conductor

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
)

// Build makes the network of a layout. It fails on a construction whose
// wiring names a contact that its pieces do not have.
func Build(l *track.Layout) (*Network, error) {
	b := &builder{l: l, n: &Network{Layout: l, byName: map[string]int{}}, inside: map[int]string{}}
	b.n.ends = make([]map[endRail]int, len(l.Pieces))
	b.n.middles = make([]map[string]int, len(l.Pieces))
	// A piece of three-rail track with its joint has ten links and nine points, of other
	// track fewer; wires come on top.
	b.n.Links = make([]Link, 0, 10*len(l.Pieces)+100)
	b.n.Points = make([]Point, 0, 9*len(l.Pieces)+100)
	for i := range l.Pieces {
		if err := b.piece(i); err != nil {
			return nil, err
		}
	}
	for i := range l.Joints {
		b.joint(i)
	}
	b.supplies()
	if err := b.wires(); err != nil {
		return nil, err
	}
	b.levels()
	b.number()
	b.n.cutOff()
	return b.n, nil
}

type builder struct {
	l      *track.Layout
	n      *Network
	ties   [][2]int
	inside map[int]string // point -> its place inside its piece ("middle")
}

func (b *builder) point(p Point) int {
	name := p.Name
	for k := 2; ; k++ {
		if _, taken := b.n.byName[p.Name]; !taken {
			break
		}
		p.Name = name + " (" + strconv.Itoa(k) + ")"
	}
	i := len(b.n.Points)
	b.n.byName[p.Name] = i
	b.n.Points = append(b.n.Points, p)
	return i
}

// bare is a link that belongs to no part of the layout yet.
func bare(kind LinkKind, place, rail string, from, to int) Link {
	return Link{Kind: kind, Place: place, Rail: rail, A: from, B: to, Class: ClassWire, Turnout: -1,
		Piece: -1, Joint: -1,
		Feeder: -1, Bus: -1, Toggle: -1, Accessory: -1, InsulatedRail: -1, Supply: -1}
}

// apart is a link that is normally open.
func apart(kind LinkKind, place, rail string, from, to int) Link {
	k := bare(kind, place, rail, from, to)
	k.NormallyOpen = true
	return k
}

func (b *builder) link(k Link) {
	k.ID = "R" + strconv.Itoa(len(b.n.Links)+1)
	b.n.Links = append(b.n.Links, k)
}

// naming turns a rail of the wiring (left-hand form, seen from the points)
// into the rail's name along the run.
func naming(p *track.Piece, c track.Contact) track.Rail {
	r := c.Rail
	if p.Hand < 0 {
		r = r.Mirror()
	}
	if p.Reversed {
		r = r.Mirror()
	}
	if p.Backward && ofSecondWay(c.End) {
		r = r.Mirror()
	}
	return r
}

// ofSecondWay says whether a contact of a crossing lies on its second way alone:
// at one of its ends, or at a place inside that is called after it ("b-frog").
func ofSecondWay(end string) bool {
	return end == "b1" || end == "b2" || strings.HasPrefix(end, "b-")
}

func (b *builder) piece(i int) error {
	p := &b.l.Pieces[i]
	b.n.ends[i] = map[endRail]int{}
	b.n.middles[i] = map[string]int{}
	for e := range p.Ends {
		side := b.l.SideName(track.EndRef{Piece: i, End: e})
		for _, r := range p.Construction.Rails {
			b.n.ends[i][endRail{e, r}] = b.point(Point{Name: side + " " + string(r),
				Kind: PointEnd, Piece: i, End: e, Rail: r})
		}
	}
	var err error
	if w := p.Wiring(); w != nil {
		err = b.wiring(i, *w)
	} else {
		b.plain(i)
	}
	if err != nil {
		return err
	}
	b.tie(i)
	b.insulation(i)
	return nil
}

// middle gives the point inside piece i, made at first use.
func (b *builder) middle(i int, place string, r track.Rail) int {
	key := place + " " + string(r)
	if k, ok := b.n.middles[i][key]; ok {
		return k
	}
	name, kind := b.l.Pieces[i].ID()+" "+string(r), PointMiddle
	if place != "middle" {
		name, kind = b.l.Pieces[i].ID()+" "+place+" "+string(r), PointInside
	}
	k := b.point(Point{Name: name, Kind: kind, Piece: i, End: -1, Rail: r})
	b.n.middles[i][key] = k
	b.inside[k] = place
	return k
}

// plain wires a straight, a curve or a bumper: each rail in two halves, with
// the middle as the place where a bridge between rails is taken to be. A piece
// without length (a bumper has none) has no resistance either: its end and its
// middle are one node.
func (b *builder) plain(i int) {
	p := &b.l.Pieces[i]
	length := 0.0
	if len(p.Legs) > 0 {
		length = p.Legs[0].Length
	}
	halfOhms := p.Construction.RailPerMeter.Ohms * length / 2000
	for _, r := range p.Construction.Rails {
		m := b.middle(i, "middle", r)
		for e := range p.Ends {
			at := b.n.ends[i][endRail{e, r}]
			if halfOhms > 0 {
				b.railLink(i, r, at, m, halfOhms)
			} else {
				b.ties = append(b.ties, [2]int{at, m})
			}
		}
	}
}

func (b *builder) railLink(i int, r track.Rail, from, to int, ohms float64) {
	p := &b.l.Pieces[i]
	k := bare(KindRail, p.ID(), string(r), from, to)
	k.Ohms, k.Spread, k.Class, k.Piece = ohms, p.Construction.RailPerMeter.Spread, ClassRail, i
	b.link(k)
}

// wiring wires a turnout or a crossing by its construction's data.
func (b *builder) wiring(i int, w track.Wiring) error {
	p := &b.l.Pieces[i]
	for _, c := range w.Conductors {
		if p.Sensing && (senses(c.From) || senses(c.To)) {
			continue // cut off from the rest of the turnout
		}
		ra, rb := naming(p, c.From), naming(p, c.To)
		from, err := b.contact(i, c.From.End, ra)
		if err != nil {
			return err
		}
		to, err := b.contact(i, c.To.End, rb)
		if err != nil {
			return err
		}
		k := bare(KindRail, p.ID(), string(rb), from, to)
		k.Ohms, k.Spread, k.Class, k.Piece = c.Ohms, p.Construction.RailPerMeter.Spread, ClassRail, i
		if c.Jumper {
			k.Kind, k.Class, k.Spread = KindJumper, ClassWire, 0.3
		}
		if k.Ohms <= 0 {
			share := c.Share
			if share <= 0 {
				share = 0.5
			}
			k.Ohms = p.Construction.RailPerMeter.Ohms * share * b.legLength(p, c) / 1000
		}
		if c.When != "" {
			k.Kind, k.Turnout, k.When = KindSwitch, i, c.When
		}
		b.link(k)
	}
	return nil
}

// senses says whether a contact of the wiring (left-hand form, seen from the
// points) is the end of a rail by which a sensing turnout notices a train: the
// inner rails behind the frog (common practice, no source).
func senses(c track.Contact) bool {
	return c.End == track.EndThrough && c.Rail == track.Left || c.End == track.EndDiverging && c.Rail == track.Right
}

func (b *builder) legLength(p *track.Piece, c track.Conductor) float64 {
	for _, leg := range p.Legs {
		from, to := p.Ends[leg.From].Label, p.Ends[leg.To].Label
		end := c.To.End
		if p.EndIndex(end) < 0 {
			end = c.From.End
		}
		if end == from || end == to {
			return leg.Length
		}
	}
	if len(p.Legs) > 0 {
		return p.Legs[0].Length
	}
	return 0
}

func (b *builder) contact(i int, end string, r track.Rail) (int, error) {
	p := &b.l.Pieces[i]
	if !p.Construction.HasRail(r) {
		return 0, fmt.Errorf("construction %q: its wiring names the rail %q, which it does not have",
			p.Construction.Name, r)
	}
	if e := p.EndIndex(end); e >= 0 {
		return b.n.ends[i][endRail{e, r}], nil
	}
	return b.middle(i, end, r), nil
}

// tie joins the rails that the ties of a construction join.
func (b *builder) tie(i int) {
	if b.l.Pieces[i].Untied {
		return
	}
	for _, g := range b.l.Pieces[i].Construction.Tied {
		for _, r := range g[1:] {
			b.ties = append(b.ties, [2]int{b.middle(i, "middle", g[0]), b.middle(i, "middle", r)})
		}
	}
}

func partOf(k track.Kind) track.Part {
	switch k {
	case track.Turnout:
		return track.PartTurnout
	case track.Crossing:
		return track.PartCrossing
	}
	return track.PartPiece
}

// insulation adds a normally open link for every pair of rails that a flaw of
// the construction can bridge inside this piece: between their middles, or
// where the wiring has no middle (a crossing that keeps its two ways apart) at
// each place inside that has both rails.
func (b *builder) insulation(i int) {
	p := &b.l.Pieces[i]
	seen := map[[2]track.Rail]bool{}
	for _, f := range p.Construction.Flaws {
		if f.Mode != track.Bridged || f.Part != partOf(p.Kind) || len(f.Rails) != 2 {
			continue
		}
		for _, pair := range pairs(p, f.Rails[0], f.Rails[1]) {
			if seen[pair] {
				continue
			}
			seen[pair] = true
			for _, place := range b.places(i, pair) {
				k := apart(KindInsulation, p.ID(), string(pair[0])+"-"+string(pair[1]), b.middle(i, place, pair[0]),
					b.middle(i, place, pair[1]))
				k.Piece = i
				b.link(k)
			}
		}
	}
}

// pairs are the rails that a bridge between two may join: in an untied piece
// also those that a tie would join to one of them.
func pairs(p *track.Piece, x, y track.Rail) [][2]track.Rail {
	if !p.Untied {
		return [][2]track.Rail{{x, y}}
	}
	var out [][2]track.Rail
	for _, a := range p.Construction.TiedWith(x) {
		for _, b := range p.Construction.TiedWith(y) {
			if a != b {
				out = append(out, [2]track.Rail{a, b})
			}
		}
	}
	return out
}

// Joins says whether an insulation link inside a piece lies between two rails,
// or, in an untied piece, between rails that a tie would join to them.
func (n *Network) Joins(k *Link, x, y track.Rail) bool {
	p := &n.Layout.Pieces[k.Piece]
	if !p.Untied {
		return k.Rail == string(x)+"-"+string(y)
	}
	for _, pair := range pairs(p, x, y) {
		if k.Rail == string(pair[0])+"-"+string(pair[1]) {
			return true
		}
	}
	return false
}

// Mates counts the pairs of rails among which one flaw of an insulation link's
// piece is shared out: 1 but in untied pieces.
func (n *Network) Mates(k *Link) int {
	if !n.Layout.Pieces[k.Piece].Untied {
		return 1
	}
	x, y, _ := strings.Cut(k.Rail, "-")
	return max(1, len(pairs(&n.Layout.Pieces[k.Piece], track.Rail(x), track.Rail(y))))
}

// places lists the places inside piece i that have both rails: the middle
// alone when it is one of them, else all in the order of their points.
func (b *builder) places(i int, pair [2]track.Rail) []string {
	has := func(place string, r track.Rail) bool {
		_, ok := b.n.middles[i][place+" "+string(r)]
		return ok
	}
	if has("middle", pair[0]) && has("middle", pair[1]) {
		return []string{"middle"}
	}
	var out []string
	for k := range b.n.Points {
		q := &b.n.Points[k]
		if q.Piece != i || q.End >= 0 || q.Rail != pair[0] {
			continue
		}
		place := b.inside[k]
		if has(place, pair[1]) {
			out = append(out, place)
		}
	}
	return out
}

func (b *builder) joint(i int) {
	j := &b.l.Joints[i]
	c := b.l.Pieces[j.A.Piece].Construction
	for _, r := range c.Rails {
		other := b.l.AcrossJoint(i, r)
		from, ok1 := b.n.ends[j.A.Piece][endRail{j.A.End, r}]
		to, ok2 := b.n.ends[j.B.Piece][endRail{j.B.End, other}]
		if !ok1 || !ok2 {
			continue
		}
		k := bare(KindJoint, j.Name, string(r), from, to)
		k.Ohms, k.Spread, k.Class, k.Joint = c.JointOhms.Ohms, c.JointOhms.Spread, ClassJoint, i
		if j.IsInsulated(r) {
			k.Kind, k.NormallyOpen, k.Ohms = KindGap, true, 0
		}
		b.link(k)
	}
}

// levels takes the widest of the constructions in use: one layout is one
// history of storage and dirt.
func (b *builder) levels() {
	for i := range b.l.Pieces {
		c := b.l.Pieces[i].Construction
		b.n.RailLevel = max(b.n.RailLevel, c.RailLevel)
		b.n.JointLevel = max(b.n.JointLevel, c.JointLevel)
	}
}

// number gives tied points one node.
func (b *builder) number() {
	lead := make([]int, len(b.n.Points))
	for i := range lead {
		lead[i] = i
	}
	find := func(i int) int {
		for lead[i] != i {
			lead[i] = lead[lead[i]]
			i = lead[i]
		}
		return i
	}
	for _, t := range b.ties {
		x, y := find(t[0]), find(t[1])
		lead[max(x, y)] = min(x, y)
	}
	for i := range b.n.Points {
		if r := find(i); r == i {
			b.n.Points[i].Node = b.n.Nodes
			b.n.Nodes++
		} else {
			b.n.Points[i].Node = b.n.Points[r].Node
		}
	}
}
