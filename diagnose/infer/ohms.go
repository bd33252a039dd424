package infer

import (
	"math"

	"fishplate/diagnose/predict"
)

// BridgeOhms is how many ohms a bridge of a class has if there is one, and the
// log-sd of that; false where the class has none that counts.
func (p *Posterior) BridgeOhms(e *Engine, class int) (ohms, sd float64, ok bool) {
	sum, m, m2 := 0.0, 0.0, 0.0
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Class != class || h.Effect.Kind != predict.EffectBridge || h.compound() {
			continue
		}
		for k, s := range h.sevs {
			w, l := p.Hypo[i]*p.Severity[i][k], math.Log(s.ohms)
			sum += w
			m += w * l
			m2 += w * (l*l + s.sd*s.sd)
		}
	}
	if sum < 0.5*p.Class[class] || sum <= 0 {
		return 0, 0, false
	}
	m /= sum
	return math.Exp(m), math.Sqrt(math.Max(m2/sum-m*m, 0)), true
}
