package infer

import (
	"math"

	"fishplate/diagnose/predict"
)

// BridgeWithin is how much of the belief in a class is a bridge of ohms between lo
// and hi, as a part of that belief.
func (p *Posterior) BridgeWithin(e *Engine, class int, lo, hi float64) float64 {
	if !(p.Class[class] > 0) {
		return 0
	}
	below := func(x, mean, sd float64) float64 { return math.Erfc((mean-x)/sd/math.Sqrt2) / 2 }
	sum := 0.0
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Class != class || h.Effect.Kind != predict.EffectBridge || h.compound() {
			continue
		}
		for k, s := range h.sevs {
			l := math.Log(s.ohms)
			sum += p.Hypo[i] * p.Severity[i][k] * (below(math.Log(hi), l, s.sd) - below(math.Log(lo), l, s.sd))
		}
	}
	return sum / p.Class[class]
}
