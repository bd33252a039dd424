package drill

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// sparks is the share of the volts of two AC supplies, added up, above which a
// train sparks where it passes from one to the other (assumed: in phase the
// hot posts differ by a few volts, out of phase by all of both).
const sparks = 0.5

// otherAC lists the AC supplies behind the first one.
func otherAC(n *conductor.Network) (first int, others []int) {
	first = -1
	for i := range n.Layout.Supplies {
		switch {
		case !n.Layout.Supplies[i].AC:
		case first < 0:
			first = i
		default:
			others = append(others, i)
		}
	}
	return first, others
}

// winding is a supply switched on while another one is: it is driven behind its
// plug.
func winding(n *conductor.Network, supply int) conductor.Source {
	p := n.Windings[supply]
	return conductor.Source{Kind: conductor.SourceVolts, From: p[0], To: p[1], Volts: n.Layout.Supplies[supply].Volts}
}

// feeds says that a supply feeds track, in either position of the toggles: out of
// phase with one that does not, no train ever shows it.
func feeds(n *conductor.Network, supply int) bool {
	l := n.Layout
	other := func(o track.Outlet) bool {
		if o.Kind != track.OnToggle || !l.Toggles[o.Index].Chooses {
			return false
		}
		x := l.Toggles[o.Index].Other
		return x.Kind == track.OnSupply && x.Index == supply || x.Kind == track.OnBus &&
			l.Buses[x.Index].Supply == supply
	}
	return slices.ContainsFunc(l.Feeders, func(f track.Feeder) bool { return f.Supply == supply || other(f.On) })
}

// outOfPhase finds the supply that is out of phase with the first one: with
// their commons joined and the track off, the volts from hot to hot are those of
// both.
func (w *world) outOfPhase() (hunt.Symptom, bool) {
	first, others := otherAC(w.n)
	for _, k := range others {
		if !feeds(w.n, first) || !feeds(w.n, k) {
			continue
		}
		s := conductor.Usual(w.n.Layout)
		s.Source, s.Also = winding(w.n, first), []conductor.Source{winding(w.n, k)}
		for i := range w.n.Layout.Feeders {
			s.Pull(i)
		}
		s.Loads = join(w.n, nil, w.n.Posts[first][1], w.n.Posts[k][1])
		v, _ := w.bench.Volts(s, w.n.Posts[first][0], w.n.Posts[k][0])
		if math.Abs(v) > sparks*(s.Source.Volts+s.Also[0].Volts) {
			return hunt.Symptom{Kind: hunt.SymptomPhase, At: w.n.Layout.Supplies[k].Name}, true
		}
	}
	return hunt.Symptom{}, false
}
