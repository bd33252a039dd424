package hunt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// customer is someone with hidden faults who does what the hunt asks: reads,
// looks, repairs what is bad, and says so.
type customer struct {
	t     *testing.T
	l     *track.Layout
	n     *conductor.Network
	ohms  []float64
	left  []simulate.Fault
	meter simulate.Meter
	rng   *rand.Rand
	log   string
	// ghost is what a voltmeter shows where it should show nothing, volt.
	ghost float64
	// tool lies across two points all the time, where no suspect joins them.
	tool *conductor.Load
}

func newCustomer(t *testing.T, name string, seed uint64) *customer {
	l := load(t, name)
	n, err := conductor.Build(l)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(seed, 77))
	return &customer{t: t, l: l, n: n, ohms: simulate.DrawOhms(n, rng, 1, 1), meter: simulate.GoodMeter().Draw(rng),
		rng: rng}
}

func (c *customer) read(a *hunt.Ask) string {
	b := simulate.NewBench(c.n, c.ohms, c.left)
	text := answer(c.t, c.n, b, &c.meter, c.with(a), c.l.Supplies[0].AC, c.rng)
	if c.ghost > 0 && a.Meter == "volts" {
		if r, err := unit.Parse(text, unit.Volts); err == nil && math.Abs(r.Value) < 0.1 {
			text = fmt.Sprintf("%.2f V", c.ghost*(0.5+c.rng.Float64()))
		}
	}
	c.log += fmt.Sprintf("  %s %s | %s thrown %v off %v -> %s\n", a.Meter, a.Red, a.Black, a.Setup.Thrown,
		a.Setup.Off, text)
	return text
}

// with is an ask as it is read with the tool lying there.
func (c *customer) with(a *hunt.Ask) *hunt.Ask {
	if c.tool == nil {
		return a
	}
	b := *a
	b.Setup.Loads = append(slices.Clone(a.Setup.Loads), hunt.Load{From: c.n.Points[c.tool.From].Name,
		To: c.n.Points[c.tool.To].Name, Ohms: c.tool.Ohms})
	return &b
}

// volts is what a load of one ampere gets in the middle of a piece.
func (c *customer) volts(piece int) float64 {
	k, v := c.l.Pieces[piece].Construction, c.l.Supplies[0].Volts
	s := conductor.Usual(c.l)
	s.Source = conductor.Source{Kind: conductor.SourceVolts, From: c.n.Posts[0][0], To: c.n.Posts[0][1], Volts: v}
	hot, common := c.n.Middle(piece, k.Hot), c.n.Middle(piece, k.Common)
	s.Loads = []conductor.Load{{From: hot, To: common, Ohms: v}}
	got, _ := simulate.NewBench(c.n, c.ohms, c.left).Volts(s, hot, common)
	return math.Abs(got)
}

// look repairs what is bad in a piece and says whether something was.
func (c *customer) look(piece string) bool {
	var rest []simulate.Fault
	for _, f := range c.left {
		if f.Suspect.Piece != piece {
			rest = append(rest, f)
		}
	}
	found := len(rest) < len(c.left)
	c.left = rest
	c.log += fmt.Sprintf("  look %s %v\n", piece, found)
	return found
}

// hunt goes on until the program has no more to ask.
func (c *customer) hunt(kit hunt.Kit, sym hunt.Symptom) hunt.Done {
	h := hunt.New(c.l, kit)
	do := func(e hunt.Event) { require.NoError(c.t, h.Apply(e), c.log) }
	do(hunt.Event{Symptom: &sym})
	for range 120 {
		s := h.View().Step
		switch {
		case s.Ask != nil:
			do(hunt.Event{Reading: c.read(s.Ask)})
		case s.Inspect != nil:
			piece := s.Inspect.Pieces[0].Piece
			if c.look(piece) {
				do(hunt.Event{Found: piece})
			} else {
				do(hunt.Event{NotFound: piece})
			}
		case s.Done.Prove != nil:
			do(hunt.Event{Reading: c.read(s.Done.Prove)})
		default:
			c.log += "  " + s.Done.Verdict + "\n"
			return *s.Done
		}
	}
	require.Fail(c.t, "the hunt never ends", c.log)
	return hunt.Done{}
}

// anyShort lists the suspects that short one of the supplies with points and
// toggles thrown this or that way.
func anyShort(n *conductor.Network) []fault.Suspect {
	l := n.Layout
	thrown := map[int]string{}
	for i := range l.Pieces {
		if l.Pieces[i].Kind == track.Turnout {
			thrown[i] = track.EndDiverging
		}
	}
	var states []conductor.Setup
	for _, t := range []map[int]string{nil, thrown} {
		s := conductor.Bare(l)
		s.Thrown = t
		states = append(states, s)
	}
	var out []fault.Suspect
	for _, s := range fault.List(n) {
		if s.Mode != track.Bridged {
			continue
		}
		b := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: s, Ohms: s.MinOhms, Position: 0.5}})
		for _, p := range n.Posts {
			if math.Min(b.Ohms(states[0], p[0], p[1]), b.Ohms(states[1], p[0], p[1])) < 2 {
				out = append(out, s)
				break
			}
		}
	}
	return out
}

// A hunt that says proven leaves no short behind: not on another supply's
// track, not behind points that cut the power, not the second of two.
func TestProvenIsProven(t *testing.T) {
	const seeds = 3
	usual := []string{"two-supplies", "shelf-two-rail", "slip-yard"}
	if measured {
		usual = append(usual, "loop-siding", "blocks")
	}
	for _, name := range few([]string{"shelf-two-rail"}, usual) {
		proven := 0
		for seed := range uint64(seeds) {
			c := newCustomer(t, name, seed)
			list := anyShort(c.n)
			for range 2 {
				s := list[c.rng.IntN(len(list))]
				c.left = append(c.left, simulate.Fault{Suspect: s, Ohms: s.MinOhms,
					Position: 0.3 + 0.4*c.rng.Float64()})
			}
			pair := fmt.Sprintf("%s and %s", c.left[0].Suspect.ID, c.left[1].Suspect.ID)
			d := c.hunt(allMeters, hunt.Symptom{Kind: hunt.SymptomShort})
			if d.Proven {
				proven++
				assert.Empty(t, c.left, "%s seed %d: %s: proven with a short left\n%s", name, seed, pair, c.log)
			} else {
				t.Logf("%s seed %d: %s: not proven: %s\n%s", name, seed, pair, d.Verdict, c.log)
			}
		}
		assert.GreaterOrEqual(t, proven, seeds-1, name)
	}
}

// A lamp alone proves a repair by its light: with nothing wrong it stays dark.
func TestLampAloneProves(t *testing.T) {
	h := hunt.New(load(t, "blocks"), hunt.Kit{Lamp: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Found: h.View().Ranked[0].Piece}))
	prove := h.View().Step.Done.Prove
	require.NotNil(t, prove)
	require.True(t, prove.OfLamp())
	dark, ok := prove.Outcome(unit.Reading{Kind: unit.Dark})
	require.True(t, ok)
	require.Greater(t, dark.P, 0.5)
	require.Less(t, dark.P, 1.0, "the repair may have failed")
}

// A proof that was bad, and is not taken again, stands: the hunt goes on, and the next
// repair is proven by the same reading.
func TestABadProofStands(t *testing.T) {
	h := begun(t, "loop", hunt.Symptom{Kind: hunt.SymptomShort})
	require.NoError(t, h.Apply(hunt.Event{Found: "main 3"}))
	require.NotNil(t, h.View().Step.Done.Prove)
	require.Equal(t, "beeper", h.View().Step.Done.Prove.Meter)
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	require.NotEmpty(t, h.View().Step.Done.Prove.Again)
	require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
	require.Nil(t, h.View().Step.Done, "a short is there still")
	assert.NotEmpty(t, h.View().Warnings, "that says so")
	require.NoError(t, h.Apply(hunt.Event{Found: "main 9"}))
	require.NotNil(t, h.View().Step.Done.Prove)
	require.NoError(t, h.Apply(hunt.Event{Reading: "no"}))
	assert.True(t, h.View().Step.Done.Proven)
}
