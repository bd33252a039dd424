package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/meter"
)

const (
	// roughTiles and keepQuestions are for the round before the last.
	roughTiles, keepQuestions = 12, 24
	// manyQuestions is how many are weighed in that round at most, about: of more
	// than twice as many a first round samples each set-up and dial by sampled of
	// its questions.
	manyQuestions, sampled = 400, 12
)

// Score weighs questions after readings.
//
// Many questions about many places are weighed in rounds: a dozen of each set-up
// and dial where feeders and toggles make set-ups by the dozen; all of the best
// set-ups over a few rows of places; then the best over many. A question that a
// round puts aside comes back with no bits.
func (e *Engine) Score(p *Posterior, obs []Observation, questions []Question) []Outlook {
	alive := scoring{e}.worthScoring(p)
	if len(questions) <= 2*keepQuestions || len(alive) <= 2*roughTiles {
		return scoring{e}.score(p, obs, questions, alive, scoreTiles)
	}
	kept := make([]int, len(questions))
	for i := range kept {
		kept[i] = i
	}
	if len(questions) > 2*manyQuestions {
		kept = scoring{e}.promising(p, obs, questions, alive)
	}
	worth := scoring{e}.rough(p, obs, questions, kept, alive)
	slices.SortStableFunc(kept, func(a, b int) int { return cmp.Compare(worth[b], worth[a]) })
	kept = kept[:min(keepQuestions, len(kept))]
	slices.Sort(kept)
	out := make([]Outlook, len(questions))
	for i, o := range (scoring{e}).score(p, obs, some(questions, kept), alive, scoreTiles) {
		out[kept[i]] = o
	}
	return out
}

// some are the questions of some numbers.
func some(questions []Question, which []int) []Question {
	out := make([]Question, len(which))
	for i, k := range which {
		out[i] = questions[k]
	}
	return out
}

// rough is the bits a minute of some questions over a few rows of places, by
// their numbers; less than nothing for all others.
func (e scoring) rough(p *Posterior, obs []Observation, questions []Question, which, alive []int) []float64 {
	out := make([]float64, len(questions))
	for i := range out {
		out[i] = -1
	}
	for i, o := range e.score(p, obs, some(questions, which), alive, roughTiles) {
		k := which[i]
		out[k] = o.Bits / questions[k].Minutes
	}
	return out
}

// promising are the questions of the set-ups and dials whose samples tell most a
// minute, manyQuestions or a little more.
func (e scoring) promising(p *Posterior, obs []Observation, questions []Question, alive []int) []int {
	type kind struct {
		setup string
		dial  meter.Function
	}
	number := map[kind]int{}
	var of [][]int // the questions of each kind
	for i := range questions {
		k := kind{questions[i].Setup.Key(), questions[i].Func}
		n, ok := number[k]
		if !ok {
			n = len(of)
			number[k], of = n, append(of, nil)
		}
		of[n] = append(of[n], i)
	}
	var samples []int
	for _, list := range of {
		samples = append(samples, sample(list)...)
	}
	worth := e.rough(p, obs, questions, samples, alive)
	best := func(list []int) float64 {
		top := -1.0
		for _, i := range list {
			top = max(top, worth[i])
		}
		return top
	}
	slices.SortStableFunc(of, func(a, b []int) int { return cmp.Compare(best(b), best(a)) })
	var out []int
	for _, list := range of {
		if len(out) >= manyQuestions {
			break
		}
		out = append(out, list...)
	}
	slices.Sort(out)
	return out
}

// sample takes some of a list, spread evenly and out of step with any order in
// it: by the golden section.
func sample(list []int) []int {
	if len(list) <= sampled {
		return list
	}
	var out []int
	for k := range sampled {
		_, part := math.Modf(float64(k) * math.Phi)
		out = append(out, list[int(part*float64(len(list)))])
	}
	slices.Sort(out)
	return slices.Compact(out)
}
