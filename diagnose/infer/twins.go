package infer

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// Two clips of a feeder sit at one place in one damp and were put on in one evening:
// where one is bad, the other is in bothClips of all cases, about as bad (its ohms
// otherClip off, as a log-sd). Both assumed.
const bothClips, otherClip = 0.3, 0.7

// addTwins adds both clips of a feeder gone bad, beside one or the other, whose odds
// it takes that from.
func (e *Engine) addTwins() {
	clips := map[int][]int{} // feeder -> hypotheses
	for h := range e.Hypos {
		s := &e.Suspects[e.Hypos[h].Suspect]
		if k := &e.Net.Links[s.Links[0]]; s.Mode == track.Weak && k.Kind == conductor.KindClip {
			clips[k.Feeder] = append(clips[k.Feeder], h)
		}
	}
	for f := range e.Net.Layout.Feeders {
		if len(clips[f]) != 2 {
			continue
		}
		a, b := &e.Hypos[clips[f][0]], &e.Hypos[clips[f][1]]
		both := *a
		both.twin, both.Prior = true, bothClips*(a.Prior+b.Prior)
		both.Effect.Also = &predict.Effect{Kind: predict.EffectWeak, Link: b.Effect.Link}
		both.sevs = append([]severity(nil), a.sevs...)
		for k := range both.sevs {
			both.sevs[k].alsoSD = otherClip
		}
		a.Prior, b.Prior = (1-bothClips)*a.Prior, (1-bothClips)*b.Prior
		e.Hypos = append(e.Hypos, both)
	}
}
