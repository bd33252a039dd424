package card

import (
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Rails draws the rails at each probe in characters, seen from above with the
// numbers going up to the right. Both probes share a drawing when they are at
// the same place.
func Rails(sc *scene.Scene, a *hunt.Ask, w int) []string {
	l := sc.Layout
	red, black := spot.Parse(l, a.Red), spot.Parse(l, a.Black)
	var out []string
	if red.Place.Piece >= 0 && same(l, red.Place, black.Place) {
		return sketch(sc, w, red.Place, probe{red, "R", style.ProbeRed}, probe{black, "B", style.ProbeBlack})
	}
	for _, p := range []probe{{red, "R", style.ProbeRed}, {black, "B", style.ProbeBlack}} {
		if p.Place.Piece < 0 {
			continue
		}
		if len(out) > 0 {
			out = append(out, "")
		}
		out = append(out, sketch(sc, w, p.Place, p)...)
	}
	return out
}

type probe struct {
	spot.Point
	letter string
	role   style.Role
}

// same says whether two places belong in one drawing: the same piece's middle,
// or the two sides of one joint.
func same(l *track.Layout, a, b track.Place) bool {
	if a == b {
		return true
	}
	if b.Piece < 0 || a.End < 0 || b.End < 0 {
		return false
	}
	ja, jb := l.Pieces[a.Piece].Ends[a.End].Joint, l.Pieces[b.Piece].Ends[b.End].Joint
	return ja >= 0 && ja == jb
}

// sketch draws one place. Half a drawing is one piece at a joint.
func sketch(sc *scene.Scene, w int, at track.Place, probes ...probe) []string {
	l := sc.Layout
	p := &l.Pieces[at.Piece]
	half := min(max((w-10)/2, 6), 16)
	leftName, rightName := p.ID(), ""
	joint := at.End >= 0
	forward := true // the piece lies on the left of its joint
	if joint {
		forward = p.Ends[at.End].OutLeft != track.Right
		if j := p.Ends[at.End].Joint; j >= 0 {
			o := l.Joints[j].A
			if o.Piece == at.Piece && o.End == at.End {
				o = l.Joints[j].B
			}
			rightName = l.Pieces[o.Piece].ID()
		} else {
			rightName = "(end)"
		}
		if !forward {
			leftName, rightName = rightName, leftName
		}
	}
	head := strings.Repeat(" ", 8) + centre(leftName, half) + " " + centre(rightName, half)
	out := []string{sc.Theme.Paint(style.Dim, text.Fit(head, min(w, 10+2*half)))}
	for _, r := range p.Construction.Rails {
		bar := strings.Repeat("=", half)
		if r == track.Center {
			bar = strings.Repeat("-", half)
		}
		a, b := bar, bar
		if !joint {
			b = ""
		}
		for _, q := range probes {
			if q.Rail != r {
				continue
			}
			onLeft := !joint || (q.Place.Piece == at.Piece && q.Place.End == at.End) == forward
			mark := "(" + sc.Theme.Paint(q.role, q.letter) + ")"
			if onLeft {
				a = put(a, mark, 3, half)
			} else {
				b = put(b, mark, 3, half)
			}
		}
		sep := "|"
		if !joint {
			sep = ""
		}
		out = append(out, text.Fit(string(r), 8)+a+sep+b)
	}
	return out
}

// put writes a mark n columns wide over the middle of a bar that holds no mark
// yet, or over its end when it does.
func put(bar, mark string, n, half int) string {
	fill := bar[:1]
	if strings.Contains(bar, "(") { // two probes on one rail of one piece
		return bar[:len(bar)-n-1] + mark + fill
	}
	side := (half - n) / 2
	return strings.Repeat(fill, side) + mark + strings.Repeat(fill, half-n-side)
}

func centre(s string, w int) string {
	if len(s) >= w {
		return text.Fit(s, w)
	}
	return text.Fit(strings.Repeat(" ", (w-len(s))/2)+s, w)
}
