package main

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// tabletop is track, as someone lays and wires it who knows the trade's description of it and
// nothing of the program's network: resistors between the points that a person would name,
// with figures of its own. A node is such a name.
type tabletop struct {
	ofTrack
	t         testing.TB
	rng       *rand.Rand
	rail, pin float64 // ohm a metre of rail, ohm a joint, as this track has them
	strands   []strand
	order     []string        // of the pieces, as they are laid
	shut      map[string]bool // joints that are not put together yet
	laid      map[string]bool // pieces; nil: all, and all feeders on
	gain      float64         // of the meter: it stays
}

// strand is one resistor, and the pieces, joints, feeders that must be there for it.
type strand struct {
	a, b  string
	ohms  float64
	needs []string
	drift bool // a contact: another one every evening
	cut   bool
}

// ofTrack is a kind of track in the trade's words (see testdata of the circuits by hand): its
// rails, those that hang on the supply, whether ties join the outer ones, ohm a metre.
type ofTrack struct {
	name        string
	rails       []string
	hot, common string
	ties        bool
	metre       float64
}

var (
	metalTies = ofTrack{"metal-tie", []string{"left", "center", "right"}, "center", "left", true, 0.0123}
	roadbeds  = ofTrack{"roadbed", []string{"left", "center", "right"}, "center", "right", false, 0.0123}
	twoRails  = ofTrack{"two-rail", []string{"left", "right"}, "right", "left", false, 0.057}
)

// newTabletop is a table with track on metal ties.
func newTabletop(t testing.TB, seed uint64) *tabletop { return tableOf(t, seed, &metalTies) }

// tableOf draws how good this track's rails and joints are: so many ohm a metre and 1.5 mohm
// a joint, each by a factor of its own.
func tableOf(t testing.TB, seed uint64, kind *ofTrack) *tabletop {
	rng := rand.New(rand.NewPCG(seed, 20))
	w := &tabletop{ofTrack: *kind, t: t, rng: rng, shut: map[string]bool{}}
	w.rail, w.pin = w.metre*w.scatter(0.3), 0.0015*w.scatter(0.4)
	w.gain = 1 + 0.006*(2*rng.Float64()-1)
	return w
}

// scatter draws a factor about 1, a log-sd of s.
func (w *tabletop) scatter(s float64) float64 { return math.Exp(s * w.rng.NormFloat64()) }

func (w *tabletop) wire(a, b string, ohms float64, needs ...string) {
	w.strands = append(w.strands, strand{a: a, b: b, ohms: ohms, needs: needs})
}

// contact is a wire that is another one every evening.
func (w *tabletop) contact(a, b string, ohms float64, needs ...string) {
	w.wire(a, b, ohms, needs...)
	w.strands[len(w.strands)-1].drift = true
}

// end names the end of a piece that looks at another: "main 4/siding 1", "main 8/9".
func end(piece, to string) string {
	run, _, _ := strings.Cut(piece, " ")
	if number, same := strings.CutPrefix(to, run+" "); same {
		return piece + "/" + number
	}
	return piece + "/" + to
}

// piece lays rails from one neighbour to the other, with the middle between; ties join
// the outer ones there. Without a second neighbour it ends in the middle, as a bumper does.
func (w *tabletop) piece(id, from, to string, metres float64) {
	for _, r := range w.rails {
		half := w.rail * metres / 2 * w.scatter(0.08)
		w.wire(end(id, from)+" "+r, id+" "+r, half, id)
		if to != "" {
			w.wire(id+" "+r, end(id, to)+" "+r, half, id)
		}
	}
	if w.ties {
		w.wire(id+" left", id+" right", 1e-6, id)
	}
}

// turnout lays one: whole outer rails, and a jumper of 4.7 mohm to the other leg's center.
func (w *tabletop) turnout(id, points, through, diverging string, metres float64) {
	w.piece(id, points, through, metres)
	half := w.rail * metres / 2
	leg := end(id, diverging)
	w.contact(id+" center", id+" leg", 0.0047*w.scatter(0.2), id)
	w.wire(id+" leg", leg+" center", half*w.scatter(0.08), id)
	w.wire(id+" left", leg+" left", half*w.scatter(0.08), id)
	w.wire(id+" right", leg+" right", half*w.scatter(0.08), id)
}

// joint puts two pieces together.
func (w *tabletop) joint(a, b string) {
	for _, r := range w.rails {
		w.contact(end(a, b)+" "+r, end(b, a)+" "+r, w.pin*w.scatter(0.5), a, b, end(a, b))
	}
}

// row lays pieces of one run, joined one to the next; before and behind are what its ends
// look at, and a length of 0 is a piece that is laid by itself (a turnout) and only joined.
func (w *tabletop) row(run, before, behind string, metres ...float64) {
	id := func(k int) string { return fmt.Sprintf("%s %d", run, k) }
	for i, m := range metres {
		w.order = append(w.order, id(i+1))
		from, to := before, behind
		if i > 0 {
			from = id(i)
		}
		if i < len(metres)-1 {
			to = id(i + 2)
			w.joint(id(i+1), id(i+2))
		}
		if m > 0 {
			w.piece(id(i+1), from, to, m)
		}
	}
}

// AWG 16 and 22, ohm a metre, in the published wire tables.
const awg16, awg22 = 0.01317, 0.05296

// feeder leads from the supply to the track: a pair of AWG 16 with a clip each.
func (w *tabletop) feeder(name, at string, metres float64) {
	for _, x := range [][2]string{{"hot", w.hot}, {"common", w.common}} {
		side, r := x[0], x[1]
		w.wire("T1 "+side, name+" "+side+" wire", 1e-6, name)
		w.wire(name+" "+side+" wire", name+" "+side, awg16*metres)
		w.contact(name+" "+side, at+" "+r, 0.003*w.scatter(0.4))
	}
}

// thin leads from the middle of a piece to the block: a soldered pair of AWG 22.
func (w *tabletop) thin(name, piece string, metres float64) {
	w.wire(name+" hot", piece+" "+w.hot, awg22*metres)
	w.wire(name+" common", piece+" "+w.common, awg22*metres)
}

// evening lets all contacts drift, each by itself, and gives the way back.
func (w *tabletop) evening(drift float64) (back func()) {
	was := slices.Clone(w.strands)
	for i := range w.strands {
		if w.strands[i].drift {
			w.strands[i].ohms *= w.scatter(drift)
		}
	}
	return func() { w.strands = was }
}

// between finds the strand between two points.
func (w *tabletop) between(a, b string) *strand {
	for i := range w.strands {
		if s := &w.strands[i]; s.a == a && s.b == b || s.a == b && s.b == a {
			return s
		}
	}
	require.Failf(w.t, "nothing there", "%s to %s", a, b)
	return nil
}

// state is how the table stands while a reading is taken.
type state struct {
	out     []string // feeders that are off the supply's posts, joints that are apart
	across  []across
	battery float64 // volts in the supply's place; 0: none
	plus    string  // where its plus goes: "T1 hot", or "emf", from where a lamp leads on
}

// across is a lamp or a clip lead between two points.
type across struct {
	a, b string
	ohms float64
}

// there says whether all that a strand needs is there.
func (w *tabletop) there(s *strand, at *state) bool {
	return !s.cut && !slices.ContainsFunc(s.needs, func(x string) bool {
		piece := !strings.Contains(x, "/") && strings.Contains(x, " ")
		return w.shut[x] || slices.Contains(at.out, x) || w.laid != nil &&
			(piece && !w.laid[x] || strings.HasPrefix(x, "F"))
	})
}

// circuit is the table in a state, for ngspice.
type circuit struct {
	deck  strings.Builder
	node  map[string]string // by point
	lead  map[string]string // a node nearer to the one that stands for its island
	parts int
}

func (c *circuit) at(point string) string {
	if c.node[point] == "" {
		c.node[point] = fmt.Sprintf("n%d", len(c.node)+1)
		c.lead[c.node[point]] = c.node[point]
	}
	return c.node[point]
}

// island is the node that stands for all that a node hangs together with.
func (c *circuit) island(node string) string {
	for c.lead[node] != node {
		node = c.lead[node]
	}
	return node
}

func (c *circuit) put(a, b string, ohms float64) {
	c.parts++
	na, nb := c.at(a), c.at(b)
	fmt.Fprintf(&c.deck, "R%d %s %s %.17g\n", c.parts, na, nb, ohms)
	c.lead[c.island(na)] = c.island(nb)
}

// in gives the table in a state. Every island has one resistor to ground: nothing flows in
// it, since it is the only way there.
func (w *tabletop) in(at *state) *circuit {
	c := &circuit{node: map[string]string{}, lead: map[string]string{}}
	for i := range w.strands {
		if s := &w.strands[i]; w.there(s, at) {
			c.put(s.a, s.b, s.ohms)
		}
	}
	for _, x := range at.across {
		c.put(x.a, x.b, x.ohms)
	}
	if at.battery > 0 {
		c.put("inside", at.plus, 0.08)
		fmt.Fprintf(&c.deck, "Vb %s %s %.17g\n", c.at("inside"), c.at("T1 common"), at.battery)
		c.lead[c.island(c.at("inside"))] = c.island(c.at("T1 common"))
	}
	for _, n := range slices.Sorted(maps.Keys(c.lead)) {
		if c.lead[n] == n {
			fmt.Fprintf(&c.deck, "Rg%s %s 0 1\n", n, n)
		}
	}
	return c
}

var spiceAnswer = regexp.MustCompile(`(?m)^m(\d+) = (\S+)`)

// spice asks ngspice for the volts between pairs of nodes.
func (w *tabletop) spice(deck string, pairs [][2]string) []float64 {
	program, err := exec.LookPath("ngspice")
	require.NoError(w.t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice; macOS: brew "+
		"install ngspice)")
	ask := ""
	for i, p := range pairs {
		ask += fmt.Sprintf("let m%d = v(%s) - v(%s)\nprint m%d\n", i, p[0], p[1], i)
	}
	file := filepath.Join(w.t.TempDir(), "table.cir")
	require.NoError(w.t, os.WriteFile(file,
		[]byte("* a table\n"+deck+".control\nset numdgt=15\nop\n"+ask+"quit 0\n.endc\n.end\n"), 0o600))
	said, err := exec.Command(program, "-b", file).CombinedOutput()
	require.NoError(w.t, err, string(said))
	found := spiceAnswer.FindAllStringSubmatch(string(said), -1)
	require.Len(w.t, found, len(pairs), string(said))
	var out []float64
	for _, m := range found {
		v, err := strconv.ParseFloat(m[2], 64)
		require.NoError(w.t, err)
		out = append(out, v)
	}
	return out
}

// probed are the nodes of two points, and whether anything joins them; a point that no
// one built ends the test.
func (w *tabletop) probed(c *circuit, red, black string) (nodes [2]string, joined bool) {
	require.NotEmpty(w.t, c.node[red], "%q: a point that no one built", red)
	require.NotEmpty(w.t, c.node[black], "%q: a point that no one built", black)
	nodes = [2]string{c.node[red], c.node[black]}
	return nodes, c.island(nodes[0]) == c.island(nodes[1])
}

// volts are what a meter reads between points; 0 where nothing joins them.
func (w *tabletop) volts(s *state, pairs ...[2]string) []float64 {
	c := w.in(s)
	var list [][2]string
	for _, p := range pairs {
		nodes, joined := w.probed(c, p[0], p[1])
		if !joined {
			nodes[1] = nodes[0]
		}
		list = append(list, nodes)
	}
	return w.spice(c.deck.String(), list)
}

// ohms are what one ampere drops between two points, infinite where nothing joins them.
func (w *tabletop) ohms(s *state, red, black string) float64 {
	c := w.in(s)
	nodes, joined := w.probed(c, red, black)
	if !joined {
		return math.Inf(1)
	}
	return w.spice(c.deck.String()+fmt.Sprintf("Im %s %s 1\n", nodes[1], nodes[0]), [][2]string{nodes})[0]
}

// What the leads of the meter have, ohm, and below what it beeps.
const leadOhms, beepsBelow = 0.3, 50

// show prints a value as a meter of 2000 counts does, up to 0.6 % off all the time and up
// to two last digits off at random (as manuals of such instruments have it; sources not named).
func (w *tabletop) show(v, step float64, unit string) string {
	for math.Abs(v) >= 2000*step {
		step *= 10
	}
	v = math.Round((v*w.gain+step*(4*w.rng.Float64()-2))/step) * step
	if unit == "ohm" {
		v = math.Max(v, 0)
	}
	return fmt.Sprintf("%.*f %s", max(0, int(math.Round(-math.Log10(step)))), v, unit)
}

// answer takes a reading that a hunt asks for, as this table and this meter give it. Our battery
// has 12.3 V and our lamp 6.9 ohm on it, whatever the hunt takes them for.
func (w *tabletop) answer(a *hunt.Ask) string {
	s := &state{out: slices.Concat(a.Setup.Lifted, a.Setup.Pulled)}
	const ours = 12.3
	post := strings.NewReplacer("T1 hot post", "emf", "T1 common post", "T1 common")
	switch x := a.Setup.Source; x.Kind {
	case "lamp":
		s.battery, s.plus = x.Volts*ours/12, "emf"
		s.across = append(s.across, across{"emf", x.From, w.bulb(x.Volts)})
	case "volts":
		s.battery, s.plus = x.Volts*ours/12, x.From
		post = strings.NewReplacer(" post", "")
	default:
		post = strings.NewReplacer(" post", "")
	}
	for _, l := range a.Setup.Loads {
		ohms := 0.01
		if l.Ohms > 1 {
			ohms = w.bulb(a.Setup.Source.Volts)
		}
		s.across = append(s.across, across{l.From, l.To, ohms})
	}
	red, black := post.Replace(a.Red), post.Replace(a.Black)
	switch a.Meter {
	case "beeper":
		if w.ohms(s, red, black)+leadOhms < beepsBelow {
			return "beep"
		}
		return "silent"
	case "ohms":
		if r := w.ohms(s, red, black); !math.IsInf(r, 1) {
			return w.show(r+leadOhms, 0.1, "ohm")
		}
		return "OL"
	case "lamp": // a filament gives next to no light below a third of its volts
		switch part := w.volts(s, [2]string{"emf", a.Setup.Source.From})[0] / s.battery; {
		case part > 0.8:
			return "bright"
		case part > 0.33:
			return "glowing"
		}
		return "dark"
	}
	v := w.volts(s, [2]string{red, black})[0]
	if a.Current == hunt.AC {
		v = math.Abs(v)
	}
	if a.Meter == "volts" {
		return w.show(v, 0.01, "V")
	}
	require.Equal(w.t, "millivolts", a.Meter)
	if math.Abs(v) > 0.2 {
		return "OL"
	}
	return w.show(v*1e3, 0.1, "mV")
}

// bulb is our lamp on so many volts: a filament's current goes with volts to the 0.55.
func (w *tabletop) bulb(volts float64) float64 { return 6.9 * math.Pow(volts/12, 0.45) }
