package hunt

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/plan"
)

// hardlyCounts is how little mass, beside the likeliest piece, is left out of
// what an outcome means.
const hardlyCounts = 0.05

// meaning says what an outcome means by the mass that each row has in it: the
// likeliest places first, and the rail where the question tells rail from rail.
func (sc scribe) meaning(o *infer.Outlook, mass []float64) string {
	by := make([]float64, len(sc.engine.Classes))
	for i, x := range mass {
		for k, c := range o.Members[i] {
			by[c] += x * o.Share[i][k]
		}
	}
	top, piece := 0.0, 0.0 // what lies on no piece may outweigh all single pieces
	for c, x := range by {
		top = math.Max(top, x)
		if sc.engine.ClassPiece[c] >= 0 {
			piece = math.Max(piece, x)
		}
	}
	if piece >= hardlyCounts*top {
		top = piece
	}
	if top == 0 {
		return "none of the likely places"
	}
	for c, x := range by {
		if x < hardlyCounts*top {
			by[c] = 0
		}
	}
	off := sc.classNamed(infer.ClassOffTrack)
	out := by[off]
	by[off], by[sc.classNamed(infer.ClassNotOnMap)] = 0, 0
	names := "in or near " + sc.say().spanNames(by) + sc.railOf(o, mass)
	switch {
	case slices.Max(by) == 0 && out > 0:
		return "the fault is " + notTheLayout
	case slices.Max(by) == 0:
		return "the fault fits nothing in this file"
	case out > slices.Max(by):
		return "the fault is " + notTheLayout + "; or " + names
	case out > 0:
		return "the fault is " + names + ", or " + notTheLayout
	}
	return "the fault is " + names
}

// notTheLayout is what may be bad besides the layout.
const notTheLayout = "a train, the supply or its leads"

// classNamed is the number of a class, -1 for none.
func (m *matter) classNamed(name string) int { return slices.Index(m.engine.Classes, name) }

const (
	// railTold is how many bits a beep tells of the rail for that to be said.
	railTold = 0.3
	// mostlyOne is the part of an outcome that one rail must have to be named.
	mostlyOne = 0.85
)

// tellsRail says whether a beep tells one rail from the other.
func (sc scribe) tellsRail(o *infer.Outlook) bool {
	if sc.shortHunt() {
		return false
	}
	number := map[string]int{}
	rail, silent := make([]int, len(o.Weight)), make([]float64, len(o.Weight))
	for i := range rail {
		name := railIn(o.Line[i])
		if _, ok := number[name]; !ok {
			number[name] = len(number)
		}
		rail[i], silent[i] = number[name], 1-o.Beep[i]
	}
	var work plan.Scratch
	return plan.MutualInformationDiscrete(rail, o.Weight, [][]float64{o.Beep, silent}, len(number), &work) >= railTold
}

// railOf names the rail that an outcome points to, "" for none.
func (sc scribe) railOf(o *infer.Outlook, mass []float64) string {
	if !sc.tellsRail(o) {
		return ""
	}
	by, all := map[string]float64{}, 0.0
	for i, x := range mass {
		all += x
		by[railIn(o.Line[i])] += x
	}
	for _, rail := range []string{"left", "right", "center"} {
		if by[rail] >= mostlyOne*all {
			return ", in the " + rail + " rail"
		}
	}
	return ""
}

// railIn is the rail of a line such as "open left".
func railIn(line string) string {
	_, rail, _ := strings.Cut(line, " ")
	return rail
}

// only keeps the weights of some classes.
func only(weight []float64, classes []int) []float64 {
	out := make([]float64, len(weight))
	for _, c := range classes {
		out[c] = weight[c]
	}
	return out
}

// mostSpans is how many places are named one by one.
const mostSpans = 4

// spanNames puts the classes that weigh something together in rows of
// neighbouring pieces and names them, the heaviest first.
func (say wording) spanNames(weight []float64) string {
	type place struct {
		name   string
		weight float64
	}
	var spans []place
	on := make([]float64, len(say.layout.Pieces))
	for c, w := range weight {
		if i := say.engine.ClassPiece[c]; i >= 0 {
			on[i] += w
		} else if w > 0 {
			spans = append(spans, place{say.engine.Classes[c], w})
		}
	}
	for _, r := range say.layout.Runs {
		for a := 0; a < len(r.Pieces); a++ {
			if on[r.Pieces[a]] == 0 {
				continue
			}
			b, w := a, on[r.Pieces[a]]
			for b+1 < len(r.Pieces) && on[r.Pieces[b+1]] > 0 {
				b++
				w += on[r.Pieces[b]]
			}
			spans = append(spans, place{say.layout.RowName(r.Pieces[a], r.Pieces[b]), w})
			a = b
		}
	}
	sum := 0.0
	for _, s := range spans {
		sum += s.weight
	}
	if sum == 0 {
		return "nothing in this file"
	}
	// places that are equal but for rounding stay in order
	inMillionths := func(w float64) float64 { return math.Round(1e6 * w / sum) }
	slices.SortStableFunc(spans, func(a, b place) int {
		return cmp.Compare(inMillionths(b.weight), inMillionths(a.weight))
	})
	var names []string
	for _, s := range spans {
		names = append(names, s.name)
	}
	if len(names) > mostSpans {
		return strings.Join(names[:mostSpans-1], ", ") + fmt.Sprintf(" and %d more places", len(names)-mostSpans+1)
	}
	return strings.Join(names, ", ")
}
