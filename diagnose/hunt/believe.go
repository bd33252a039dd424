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
	p := be.weighed(keys[last], be.obs)
	be.fed = infer.Fed{}
	be.fed.Moved, _ = be.engine.Moved(be.there(p), be.looked(be.engine.Update(nil)))
	be.posteriors[last], be.read = be.looked(p), p
	if m := be.fed.Moved; m.Idle >= idleInDoubt && p.Entry == nil {
		unfed := be.weighed(keys[last]+"|idle", infer.Unfed(be.engine, m, be.obs))
		be.fed.Filed, be.fed.Unfed = be.posteriors[last], be.looked(unfed)
		be.posteriors[last], be.read = be.fed.Filed.Mixed(be.engine, be.fed.Unfed, m.Idle),
			p.Mixed(be.engine, unfed, m.Idle)
	}
	be.memo.forget()
}

// weighed is the belief of readings, with two faults at once too where a look found
// nothing.
func (be believer) weighed(key string, obs []infer.Observation) *infer.Posterior {
	p := be.memo.need(key, true, func() *infer.Posterior { return be.engine.Update(obs) })
	if len(be.notFound) == 0 {
		return p
	}
	return be.memo.need(key+"|doubting", true, func() *infer.Posterior { return be.engine.Doubting(obs, p) })
}

// idleInDoubt is from when a feeder that may feed nothing is reckoned with (assumed):
// the belief is one for each way then, by how likely it is.
const idleInDoubt = 0.03

// there are the readings that were taken while a fault that comes and goes was there,
// more likely than not: the others would move a feeder.
func (be believer) there(p *infer.Posterior) []infer.Observation {
	if !be.symptom.Sometimes || len(p.Misread) < len(be.obs) {
		return be.obs
	}
	var out []infer.Observation
	for i := range be.obs {
		if p.Misread[i] <= 0.5 {
			out = append(out, be.obs[i])
		}
	}
	return out
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

// Belief is what is believed in a situation. Its slices are shared: do not change them.
type Belief struct {
	Names   []string  // what would be lifted or looked at: pieces, feeders and others
	P       []float64 // by Names, adds up to 1
	Misread []float64 // by reading that counts: probability that it says nothing
	Two     float64   // probability that two things are wrong
}

// Believed is what is believed now; nothing before it was said what is wrong.
func Believed(sit Situation) Belief {
	if sit.symptom == nil {
		return Belief{}
	}
	p := sit.posteriors[len(sit.posteriors)-1]
	b := Belief{Names: sit.engine.Classes, P: p.Class, Misread: p.Misread}
	for i := range p.Pairs {
		b.Two += p.Pairs[i].P
	}
	return b
}

// Worth is what readings that nobody asked for would be expected to tell now.
func Worth(sit Situation, qs []infer.Question) []infer.Outlook {
	if sit.symptom == nil {
		return make([]infer.Outlook, len(qs))
	}
	return sit.engine.Score(sit.posteriors[len(sit.posteriors)-1], sit.obs, qs)
}
