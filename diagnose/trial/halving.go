package trial

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/unit"
)

// Halve hunts a short as it is usually taught: pull the feeders where there
// are several, cut off half of the pieces that may be bad by lifting joints,
// and beep between the rails of that half; go on in the half that is bad. It
// takes every answer at its word.
func (f *Field) Halve(x *Hidden) (Result, error) {
	h := &halver{f: f, x: x, price: price.Of(f.Net)}
	h.setup.Source.Kind = conductor.SourceNone
	if n := len(f.Layout.Feeders); n > 1 {
		for i := range n {
			h.setup.Pull(i)
			h.r.Minutes += price.Pull
		}
	}
	left := f.walk()
	for len(left) > 1 && h.r.Readings < maxReadings {
		half, rest := left[:len(left)/2], left[len(left)/2:]
		bad, err := h.test(half)
		if err != nil {
			return h.r, err
		}
		if bad == nil {
			bad = rest
		}
		left = bad
	}
	h.r.Slips = x.Slips
	if f.Layout.Pieces[left[0]].ID() == x.Fault.Suspect.Piece {
		h.r.Rank = 1
	}
	return h.r, nil
}

type halver struct {
	f     *Field
	x     *Hidden
	setup conductor.Setup
	price *price.List
	r     Result
}

// walk lists the pieces in an order in which neighbours mostly stand together:
// along the track from the first feeder.
func (f *Field) walk() []int {
	seen := make([]bool, len(f.Layout.Pieces))
	var out []int
	var visit func(int)
	visit = func(p int) {
		if seen[p] {
			return
		}
		seen[p] = true
		out = append(out, p)
		for _, q := range f.beside(p) {
			visit(q)
		}
	}
	if len(f.Layout.Feeders) > 0 {
		visit(f.Layout.Feeders[0].At.Piece)
	}
	for p := range f.Layout.Pieces {
		visit(p)
	}
	return out
}

// beside lists the pieces joined to a piece, by its ends.
func (f *Field) beside(piece int) []int {
	var out []int
	for _, e := range f.Layout.Pieces[piece].Ends {
		if e.Joint >= 0 {
			j := &f.Layout.Joints[e.Joint]
			out = append(out, j.A.Piece+j.B.Piece-piece)
		}
	}
	return out
}

// test cuts a set of pieces off and beeps each part of it that hangs together.
// It gives the part that beeps, nil when none does.
func (h *halver) test(half []int) ([]int, error) {
	in := map[int]bool{}
	for _, p := range half {
		in[p] = true
	}
	joints := h.f.Layout.Joints
	for j := range joints {
		if in[joints[j].A.Piece] != in[joints[j].B.Piece] && !conductor.Has(h.setup.Lifted, j) {
			h.setup.Lift(j)
			h.r.Lifts++
			h.r.Minutes += h.price.Lift(j)
		}
	}
	for _, part := range h.parts(half, in) {
		hot, common := h.rails(part)
		if hot < 0 {
			continue
		}
		h.r.Readings++
		h.r.Minutes += h.price.Read(hot, common)
		got, err := h.x.number(simulate.Probe{Function: simulate.Beeper, Setup: h.setup, Red: hot, Black: common})
		if err != nil {
			return nil, err
		}
		if got.Kind == unit.Beep {
			return part, nil
		}
	}
	return nil, nil
}

// parts are the pieces that still hang together.
func (h *halver) parts(half []int, in map[int]bool) [][]int {
	var out [][]int
	seen := map[int]bool{}
	for _, start := range half {
		if seen[start] {
			continue
		}
		reached := map[int]bool{start: true}
		for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
			for _, e := range h.f.Layout.Pieces[queue[0]].Ends {
				if e.Joint < 0 || conductor.Has(h.setup.Lifted, e.Joint) {
					continue
				}
				j := &h.f.Layout.Joints[e.Joint]
				if q := j.A.Piece + j.B.Piece - queue[0]; in[q] && !reached[q] {
					reached[q] = true
					queue = append(queue, q)
				}
			}
		}
		var part []int
		for _, p := range half {
			if reached[p] {
				part = append(part, p)
				seen[p] = true
			}
		}
		out = append(out, part)
	}
	return out
}

// rails finds the hot and the common rail in the middle of some piece of a
// part, -1 when none has both.
func (h *halver) rails(part []int) (hot, common int) {
	for _, p := range part {
		c := h.f.Layout.Pieces[p].Construction
		a, b := h.f.Net.Middle(p, c.Hot), h.f.Net.Middle(p, c.Common)
		if a >= 0 && b >= 0 {
			return a, b
		}
	}
	return -1, -1
}
