package hunt

import (
	"math"

	"fishplate/diagnose/infer"
)

// believer computes what is believed in a situation.
type believer struct{ *Situation }

// believe computes the posterior after the last reading. Of those after the readings
// before it, what is remembered is taken; tell computes the rest when it is wanted.
func (be believer) believe() {
	last := len(be.obs)
	keys := be.keys()
	be.posteriors = make([]*infer.Posterior, last+1)
	for n, key := range keys[:last] {
		if p := be.memo.have(key); p != nil {
			be.posteriors[n] = be.looked(p)
		}
	}
	p := be.memo.need(keys[last], true, func() *infer.Posterior { return be.engine.Update(be.obs) })
	be.wired, _ = be.engine.Moved(be.obs, be.looked(be.engine.Update(nil)))
	if idleOf(be.wired) >= 0 {
		p = be.memo.need(keys[last]+"|idle", true, func() *infer.Posterior {
			return be.engine.Update(asFed(be.obs, be.wired))
		})
	}
	if len(be.notFound) > 0 {
		sure := p
		p = be.memo.need(keys[last]+"|doubting", true, func() *infer.Posterior {
			return be.engine.Doubting(asFed(be.obs, be.wired), sure)
		})
	}
	be.posteriors[last], be.read = be.looked(p), p
	be.memo.forget()
}

// keys are what the beliefs after 0, 1, 2... readings are remembered by.
func (be believer) keys() []string {
	keys := []string{be.symptom.key()}
	for n := range be.obs {
		keys = append(keys, keys[n]+"|"+obsKey(&be.obs[n])+"="+be.typed[n])
	}
	return keys
}

// tell computes one of the beliefs after earlier readings that are not known, the
// newest; false where all are.
func (be believer) tell() bool {
	for n := len(be.posteriors) - 1; n >= 0; n-- {
		if be.posteriors[n] == nil {
			p := be.memo.keep(be.keys()[n], be.engine.Update(be.obs[:n]))
			be.posteriors[n] = be.looked(p)
			return true
		}
	}
	return false
}

// stillBad is how likely a piece is, beside one that nobody touched, to have
// something wrong once it was found bad and repaired (assumed): it can be bad in
// two ways, or the repair failed.
const stillBad = 0.1

// looked lowers what was looked at and found good, since a look can miss, and
// what was repaired.
func (be believer) looked(raw *infer.Posterior) *infer.Posterior {
	p, _ := raw.Weighed(be.engine, func(hypo int) float64 {
		name := be.engine.Classes[be.engine.Hypos[hypo].Class]
		by := math.Pow(be.symptom.LookMiss(), float64(be.notFound[name]))
		for _, r := range be.repaired {
			if r == name {
				by *= stillBad
			}
			by *= be.engine.Mended(hypo, be.classNamed(r))
		}
		return by
	})
	if p == nil {
		return raw
	}
	return p
}
