package hunt

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// ways lists the ends of the proven place that current comes by, where each has to
// be proven alone: nil where there is one, or where what was found is cause enough
// for a dead place by itself.
func (pv prover) ways() []int {
	t, supply, usual, ok := pv.proofPlace()
	if !ok || pv.symptomPiece() >= 0 && pv.engine.Explains(pv.classNamed(pv.found)) {
		return nil
	}
	return pv.engine.WaysTo(t.end.Piece, supply, &usual)
}

// proofsOfWays reads, of a place that current reaches more ways than one, each by
// itself, with a joint of the place open on the others: one that was dead was open
// on all of them, and with one mended it carries again. The way of what was found
// comes last.
func (pv prover) proofsOfWays() []*Ask {
	t, supply, usual, _ := pv.proofPlace()
	ways := pv.ways()
	found := pv.engine.WayOf(pv.classNamed(pv.found))
	var out, last []*Ask
	for _, by := range ways {
		s := usual.Clone()
		for _, end := range ways {
			if end != by {
				s.Lift(pv.layout.Pieces[t.end.Piece].Ends[end].Joint)
			}
		}
		list := pv.proofsOfWay(supply, s, t, by, ways)
		if by == found {
			last = append(last, list...)
		} else {
			out = append(out, list...)
		}
	}
	return append(out, last...)
}

// proofsOfWay reads one way to a place: the volts under load at the far end of it,
// or a beep from the supply on either side of the current.
func (pv prover) proofsOfWay(supply int, s conductor.Setup, t spot, by int, ways []int) []*Ask {
	for _, end := range ways {
		far, ok := pv.spotOf(track.EndRef{Piece: t.end.Piece, End: end})
		if ok && end != by && (grasp{pv.Situation}).getsTo(far) && pv.engine.Feeds(supply, &s, far.hot, far.common) {
			t = far
		}
	}
	j := pv.layout.Pieces[t.end.Piece].Ends[by].Joint
	post := pv.net.Posts[supply]
	var list []infer.Question
	if f, beeps := pv.continuity(); pv.kit.Volts {
		list = []infer.Question{{Setup: pv.underLoad(&s, supply, t), Func: meter.Volts, Red: t.hot, Black: t.common}}
	} else if lampAlone(&pv.matter) {
		list = []infer.Question{{Setup: pv.underLoad(&s, supply, t), Func: meter.Lamp, Red: t.hot, Black: t.common}}
	} else if beeps {
		list = []infer.Question{{Setup: s, Func: f, Red: post[0], Black: t.hot},
			{Setup: s, Func: f, Red: post[1], Black: t.common}}
	}
	out := make([]*Ask, len(list))
	for i := range list {
		a := pv.scribe().ask(&list[i], nil, pv.now())
		a.Why = fmt.Sprintf("current can come to this place by more ways than one, and it was dead: each was open. "+
			"This proves the way by %s alone",
			pv.layout.Joints[j].Name)
		a.Expect = pv.proofRows(a, "this way is whole", "something is open on this way still")
		out[i] = a
	}
	return out
}

// ofWay says whether an ask is a proof of one way by itself.
func (m *matter) ofWay(a *Ask) bool {
	return m.symptom.Kind == SymptomDead && len(a.Setup.Lifted) > 0
}
