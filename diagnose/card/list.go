package card

import (
	"math"
	"slices"
	"sort"
)

const (
	// leak is the part of a class's weight that is given to each piece joined
	// to it: a crowd is small, and a fault near a joint reads alike from both
	// sides.
	leak = 0.03
	// wanted is how much of the belief a list must hold, in every part of its
	// range; longest is where it ends at any rate.
	wanted  = 0.98
	longest = 10
	// parts is into how many parts, by the last reading, a range is cut to see
	// whether its list is right all along.
	parts = 3
	// beyondHeld is how much of the belief just across a border it must hold.
	beyondHeld = 0.8
	// unlisted is the minutes that a fault costs that is not on the list, on
	// top of looking at all of it (assumed: a hunt without the card).
	unlisted = 45
)

// tally is the belief over classes that a crowd gives, with its leaks.
func (f *fair) tally(crowd []*one) []float64 {
	p := make([]float64, len(f.classes))
	sum := 0.0
	for _, x := range crowd {
		p[x.class] += x.weight
		sum += x.weight
	}
	out := slices.Clone(p)
	for c, w := range p {
		for _, d := range f.near[c] {
			out[d] += leak * w
			out[c] -= leak * w
		}
	}
	for c := range out {
		out[c] /= sum
	}
	return out
}

// order lists classes, probability per minute of looking first (J. B. Kadane,
// H. A. Simon, 1977: the classical order of looks).
func (f *fair) order(p []float64) []int {
	var out []int
	for c := range p {
		if p[c] > 0.0005 {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return p[out[a]]/f.cost[out[a]] > p[out[b]]/f.cost[out[b]] })
	return out
}

// list is what to look at where an outcome's crowd ends up, in order. The crowd
// is sorted by its last reading.
func (f *fair) list(s *slice) []int {
	crowd := s.crowd
	p := f.tally(crowd)
	likely := descending(p)
	in := make([]bool, len(p))
	count, held, enough := 0, 0.0, wanted
	if p[f.class[OffTrack]] > 0.5 {
		// Where the track itself seems sound every rare fault that reads so is
		// named too: nobody takes up the hunt again after the trains were blamed.
		enough = 1
	}
	take := func(c int) {
		if !in[c] && count < longest {
			in[c], count = true, count+1
			held += p[c]
		}
	}
	for _, c := range likely {
		if held >= enough || p[c] <= 0.0005 {
			break
		}
		take(c)
	}
	hold := func(some []*one, share float64) {
		part, sum := f.tally(some), 0.0
		for _, c := range descending(part) {
			if sum >= share || part[c] <= 0.0005 {
				break
			}
			take(c)
			sum += part[c]
		}
	}
	for k := range parts { // each part of the range by itself
		hold(third(crowd, k), wanted-0.03)
	}
	for _, side := range s.beyond { // and who is just across its borders
		if len(side) > 0 {
			hold(side, beyondHeld)
		}
	}
	var out []int
	for _, c := range f.order(p) {
		if in[c] {
			out = append(out, c)
		}
	}
	return out
}

// third is part k of a crowd.
func third(crowd []*one, k int) []*one {
	n := len(crowd)
	if n < 4*parts {
		return crowd
	}
	return crowd[k*n/parts : (k+1)*n/parts]
}

// looking is the minutes expected from looking at a list in its order.
func (f *fair) looking(p []float64) float64 {
	spent, sum, held := 0.0, 0.0, 0.0
	for i, c := range f.order(p) {
		if i == longest {
			break
		}
		spent += f.cost[c]
		sum += p[c] * spent
		held += p[c]
	}
	return sum + math.Max(0, 1-held)*(spent+unlisted)
}

// end writes an outcome's list out.
func (f *fair) end(s *slice) End {
	crowd := s.crowd
	p := f.tally(crowd)
	e := End{}
	on := map[int]bool{}
	for _, c := range f.list(s) {
		on[c] = true
		e.Pieces = append(e.Pieces, f.entry(crowd, c, p[c]))
	}
	for _, x := range crowd {
		e.P += x.weight
		if on[x.class] {
			e.Rate += x.weight
		}
	}
	e.Rate /= e.P
	return e
}

// entry says what to look for at a class: its heaviest suspect in the crowd.
func (f *fair) entry(crowd []*one, class int, p float64) Piece {
	k := Piece{Name: f.classes[class], P: p, Tough: f.hiddenIn(class)}
	if k.Name == OffTrack {
		k.What = "a train, a car's wheels, the supply or its leads"
		k.Look = "with every train off, the track reads sound: try the trains one at a time, then the supply alone"
		return k
	}
	weight := make([]float64, len(f.suspects))
	for _, x := range crowd {
		if x.class == class && x.suspect >= 0 {
			weight[x.suspect] += x.weight
		}
	}
	best := -1
	for i := range f.suspects {
		if f.class[f.suspects[i].Piece] == class && (best < 0 || weight[i] > weight[best] ||
			weight[i] == weight[best] && f.suspects[i].Odds > f.suspects[best].Odds) {
			best = i
		}
	}
	s := &f.suspects[best]
	k.What, k.Look = s.What, s.Look
	if s.Place != s.Piece {
		k.Place = s.Place
	}
	if i := f.ofPiece[class]; i >= 0 {
		k.Lift = f.n.Layout.Pieces[i].Construction.Lift
	}
	return k
}

// descending lists the indices of p, the largest first.
func descending(p []float64) []int {
	out := indices(len(p))
	sort.SliceStable(out, func(a, b int) bool { return p[out[a]] > p[out[b]] })
	return out
}
