package card

import (
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

type probe struct {
	spot.Point
	letter string
	role   style.Role
}

// sketch draws one place as it lies on the map. Half a drawing is one piece at a
// joint.
func sketch(sc *scene.Scene, w int, at track.Place, probes ...probe) []string {
	l := sc.Layout
	p := &l.Pieces[at.Piece]
	half := min(max((w-10)/2, 6), 16)
	flip := leftward(l, at.Piece)
	leftName, rightName := p.ID(), ""
	joint := at.End >= 0
	forward := true // the piece lies on the left of its joint
	if joint {
		forward = (p.Ends[at.End].OutLeft != track.Right) != flip
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
	rails := slices.Clone(p.Construction.Rails)
	if flip {
		slices.Reverse(rails)
	}
	for _, r := range rails {
		out = append(out, sketched(sc, r, half, joint, func(q probe) bool {
			return !joint || (q.Place.Piece == at.Piece && q.Place.End == at.End) == forward
		}, probes))
	}
	return out
}

// sketched is one rail of a sketch.
func sketched(sc *scene.Scene, r track.Rail, half int, joint bool, onLeft func(probe) bool, probes []probe) string {
	bar := strings.Repeat("=", half)
	if r == track.Center {
		bar = strings.Repeat("-", half)
	}
	a, b, sep := bar, bar, "|"
	if !joint {
		b, sep = "", ""
	}
	for _, q := range probes {
		mark := "(" + sc.Theme.Paint(q.role, q.letter) + ")"
		switch {
		case q.Rail != r:
		case onLeft(q):
			a = put(a, mark, 3, half)
		default:
			b = put(b, mark, 3, half)
		}
	}
	return text.Fit(string(r), 8) + a + sep + b
}

// leftward says whether a piece's run goes to the left on the map there; a bumper
// has the direction of what it ends.
func leftward(l *track.Layout, piece int) bool {
	p := &l.Pieces[piece]
	if j := p.Ends[0].Joint; len(p.Legs) == 0 && j >= 0 {
		return leftward(l, l.Joints[j].A.Piece+l.Joints[j].B.Piece-piece)
	}
	if len(p.Legs) == 0 {
		return false
	}
	return math.Cos(plane.Spot(l, track.Place{Piece: piece, End: -1}).Heading*math.Pi/180) < -1e-6
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
