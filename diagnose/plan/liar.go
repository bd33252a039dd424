package plan

import (
	"math"
	"math/bits"
)

// Liar plays the search along a run by left/right cuts when at most one answer
// is wrong. At any time the slots still possible are, in order along the run:
// Left slots that contradict one answer, Middle slots that contradict none,
// Right slots that contradict one.
//
// Source: OEIS A325908 (how many slots q such questions settle); the game
// itself solved here by dynamic programming over the three counts. Any yes/no
// question instead of cuts: see PelcTests.
type Liar struct {
	memo map[[3]int16]int8 // looked up only, never walked
}

// MaxLiarSlots bounds the slots that Liar takes: its table grows with the cube
// of the number.
const MaxLiarSlots = 200

// LiarState is what is still possible.
type LiarState struct{ Left, Middle, Right int }

// Slots is the number of slots still possible.
func (s LiarState) Slots() int { return s.Left + s.Middle + s.Right }

// Answer gives the state after a cut before the slot at (counted among the
// slots still possible, 0 < at < Slots): before says that the slot looked for
// was said to lie before the cut. A slot that contradicts a second answer is
// out.
func (s LiarState) Answer(at int, before bool) LiarState {
	l := min(at, s.Left)
	m := min(at-l, s.Middle)
	r := at - l - m
	if before {
		return LiarState{l, m, s.Middle - m + r}
	}
	return LiarState{s.Left - l + m, s.Middle - m, s.Right - r}
}

// NewLiar gives a solver with an empty table. It is not safe for use from
// several goroutines at once.
func NewLiar() *Liar { return &Liar{memo: map[[3]int16]int8{}} }

// Tests is the number of cuts that settle n slots for certain when at most one
// answer is wrong. n is at most MaxLiarSlots.
func (l *Liar) Tests(n int) int {
	if n < 0 || n > MaxLiarSlots {
		panic("plan: too many slots for the game with a wrong answer")
	}
	return l.worst(LiarState{Middle: n})
}

// Cut gives a cut (see LiarState.Answer) that keeps to the least number of
// tests, and that number; at 0 when at most one slot is left.
func (l *Liar) Cut(s LiarState) (at, tests int) {
	if s.Slots() > MaxLiarSlots {
		panic("plan: too many slots for the game with a wrong answer")
	}
	tests = l.worst(s)
	if tests == 0 {
		return 0, 0
	}
	// The cut nearest the middle among the best: it is the natural one to
	// offer.
	n := s.Slots()
	for d := 0; d < n; d++ {
		for _, c := range [2]int{n/2 - d, n/2 + d} {
			if c > 0 && c < n && l.after(s, c) == tests-1 {
				return c, tests
			}
		}
	}
	panic("plan: no cut keeps to the number of tests") // contradicts worst
}

func (l *Liar) after(s LiarState, at int) int {
	return max(l.worst(s.Answer(at, true)), l.worst(s.Answer(at, false)))
}

// floor is the counting bound: a slot that contradicts nothing stands for
// itself and for one lie in each of the tests left.
func (s LiarState) floor() int {
	q := 0
	for int64(s.Middle)*int64(q+1)+int64(s.Left+s.Right) > int64(1)<<q {
		q++
	}
	return q
}

func (l *Liar) worst(s LiarState) int {
	n := s.Slots()
	if n <= 1 {
		return 0
	}
	if s.Middle == 0 { // the lie is spent
		return bits.Len(uint(n - 1))
	}
	if s.Left > s.Right {
		s.Left, s.Right = s.Right, s.Left
	}
	key := [3]int16{int16(s.Left), int16(s.Middle), int16(s.Right)}
	if v, ok := l.memo[key]; ok {
		return int(v)
	}
	floor, best := s.floor(), 1<<30
	for d := 0; d < n && best > floor; d++ {
		for _, c := range [2]int{n/2 - d, n/2 + d} {
			if c <= 0 || c >= n {
				continue
			}
			b, a := s.Answer(c, true), s.Answer(c, false)
			if max(b.floor(), a.floor())+1 >= best {
				continue
			}
			best = min(best, 1+max(l.worst(b), l.worst(a)))
		}
	}
	l.memo[key] = int8(best)
	return best
}

// PelcTests is the number of tests that settle n possibilities for certain
// when any yes/no question may be asked and at most one answer is wrong: the
// least q with n(q+1) <= 2^q for even n, n(q+1)+q-1 <= 2^q for odd n.
//
// Source: A. Pelc, "Solution of Ulam's problem on searching with a lie", J.
// Combin. Theory A 44, 1987.
func PelcTests(n int) int {
	if n <= 1 {
		return 0
	}
	for q := 1; ; q++ {
		need := float64(n) * float64(q+1)
		if n%2 == 1 {
			need += float64(q - 1)
		}
		if need <= math.Ldexp(1, q) {
			return q
		}
	}
}

// LiarSearch keeps which slots of a run are still possible when at most one
// left/right answer is wrong.
type LiarSearch struct {
	against []int8 // answers that the slot contradicts
	solver  *Liar
}

// NewLiarSearch starts a search over n slots (at most MaxLiarSlots).
func NewLiarSearch(n int) *LiarSearch {
	if n < 1 || n > MaxLiarSlots {
		panic("plan: too many slots for the game with a wrong answer, or none")
	}
	return &LiarSearch{against: make([]int8, n), solver: NewLiar()}
}

// Possible lists the slots that contradict at most one answer.
func (l *LiarSearch) Possible() []int {
	var out []int
	for i, a := range l.against {
		if a < 2 {
			out = append(out, i)
		}
	}
	return out
}

// Cut gives the slot before which to cut next and how many tests are needed at
// most from here, this one included; 0, 0 when at most one slot is left.
func (l *LiarSearch) Cut() (at, tests int) {
	var s LiarState
	possible := l.Possible()
	for _, i := range possible {
		switch {
		case l.against[i] == 0:
			s.Middle++
		case s.Middle == 0:
			s.Left++
		default:
			s.Right++
		}
	}
	c, tests := l.solver.Cut(s)
	if tests == 0 {
		return 0, 0
	}
	return possible[c], tests
}

// Answer takes the answer to the cut before slot at: before says that the slot
// looked for is among 0..at-1. It reports false when no slot is possible any
// more, which means that more than one answer was wrong; the search is then as
// it was.
func (l *LiarSearch) Answer(at int, before bool) bool {
	next := append([]int8(nil), l.against...)
	left := 0
	for i := range next {
		if (i < at) != before && next[i] < 2 {
			next[i]++
		}
		if next[i] < 2 {
			left++
		}
	}
	if left == 0 {
		return false
	}
	l.against = next
	return true
}
