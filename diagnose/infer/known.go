package infer

import "fishplate/diagnose/predict"

// Weighed is the belief with every hypothesis weighed anew by a factor, a pair
// by those of both its halves; and the share of the belief that is left before
// it is made whole. Nil where nothing is left.
func (p *Posterior) Weighed(e *Engine, by func(hypo int) float64) (q *Posterior, left float64) {
	c := *p
	c.Hypo = append([]float64(nil), p.Hypo...)
	c.Pairs = append([]Pair(nil), p.Pairs...)
	for i := range c.Hypo {
		c.Hypo[i] *= by(i)
		left += c.Hypo[i]
	}
	for i := range c.Pairs {
		c.Pairs[i].P *= by(c.Pairs[i].A) * by(c.Pairs[i].B)
		left += c.Pairs[i].P
	}
	if left == 0 {
		return nil, 0
	}
	for i := range c.Hypo {
		c.Hypo[i] /= left
	}
	for i := range c.Pairs {
		c.Pairs[i].P /= left
	}
	c.Sum(e)
	return &c, left
}

// nothingElse is the belief in all but "not on the map" below which there is nothing to
// scale up: far from where a float64 ends (1e-308).
const nothingElse = 1e-200

// Known is the belief given that some suspect of the file, or a cause off the
// track, explains the readings: "not on the map" taken out. Nil where nothing
// else is left.
func (p *Posterior) Known(e *Engine) *Posterior {
	q, left := p.Weighed(e, func(hypo int) float64 {
		if e.Hypos[hypo].blank {
			return 0
		}
		return 1
	})
	if left < nothingElse {
		return nil
	}
	q.Misread = make([]float64, len(p.Misread))
	for i, m := range p.Misread {
		q.Misread[i] = min(m/left, 1)
	}
	return q
}

// Bridged is the belief in a bridge between two rails or wires.
func (e *Engine) Bridged(p *Posterior) float64 {
	sum := 0.0
	for h, w := range p.Hypo {
		if e.Hypos[h].Effect.Kind == predict.EffectBridge {
			sum += w
		}
	}
	for i := range p.Pairs {
		if e.Hypos[p.Pairs[i].A].Effect.Kind == predict.EffectBridge {
			sum += p.Pairs[i].P
		}
	}
	return sum
}

// Told is a belief without what only predictions need: the weights of suspects,
// pairs and classes.
func (p *Posterior) Told() *Posterior {
	return &Posterior{Hypo: p.Hypo, Class: p.Class, Pairs: p.Pairs, Misread: p.Misread, Failed: p.Failed}
}
