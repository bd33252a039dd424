package hunt

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// farTerminals is how many terminals further on one is read against, in the order
// of the file.
const farTerminals = 8

// atBlock asks along the rails at the labelled block: from where the wires of a
// supply join to each terminal, and from one terminal to others. A thin wire has no
// current but the meter's, so that its own ohms add nothing to millivolts.
func (g *asker) atBlock(s conductor.Setup, supply int, f meter.Function) {
	post, list := g.sit.net.Posts[supply], g.sit.net.PanelPoints
	for i, t := range list {
		g.ask(s, f, post[0], t[0])
		g.ask(s, f, t[1], post[1])
		for _, o := range list[i+1 : min(len(list), i+1+farTerminals)] {
			g.ask(s, f, t[0], o[0])
			g.ask(s, f, o[1], t[1])
		}
	}
}

// blockFirst is what tells most of what is read at the block, where that comes before
// all else: it was asked for, or hands did not get to the track. It is nil where nothing
// there tells enough any more.
func (ch chooser) blockFirst(p *infer.Posterior, now conductor.Setup, qs []infer.Question) *Ask {
	if !ch.kit.Block && !ch.offTrack {
		return nil
	}
	var at []infer.Question
	for _, q := range qs {
		if len(q.Setup.Lifted) == 0 && onBlock(ch.net, q.Red) && onBlock(ch.net, q.Black) {
			at = append(at, q)
		}
	}
	if len(at) == 0 {
		return nil
	}
	w := ch.weigh(p, now, at)
	if best, _, _ := w.best(); best >= 0 {
		return ch.asked(w, best)
	}
	return nil
}

// onBlock says whether a point is read without kneeling: a screw of the block, or where
// the wires of a supply join beside it.
func onBlock(n *conductor.Network, point int) bool {
	k := n.Points[point].Kind
	return k == conductor.PointPanel || k == conductor.PointPost
}

// kneels says whether a reading takes a probe to the track.
func kneels(n *conductor.Network, q *infer.Question) bool {
	return q.Func != meter.Lamp && !(onBlock(n, q.Red) && onBlock(n, q.Black))
}

// deadAtBlock asks at the block how far the volts come: with the supply on, of each
// terminal and of each of its wires against the supply; with all off, by a beeper.
func (g *asker) deadAtBlock(on conductor.Setup, supply int, beeper meter.Function, beeps bool) {
	post := g.sit.net.Posts[supply]
	for _, t := range g.sit.net.PanelPoints {
		if g.sit.kit.Volts {
			g.ask(on, meter.Volts, t[0], t[1])
			g.ask(on, meter.Volts, t[0], post[1])
			g.ask(on, meter.Volts, post[0], t[1])
		}
		if beeps {
			g.ask(g.base, beeper, post[0], t[0])
			g.ask(g.base, beeper, post[1], t[1])
		}
	}
}
