package layoutfile

import (
	"strings"

	"fishplate/diagnose/track"
)

// Miss is how far two ends that should meet are apart, seen by someone who
// walks out of the first: millimeters ahead and to the left, and degrees to be
// turned (left positive).
type Miss struct{ AheadMM, LeftMM, Turn float64 }

// MissBetween measures from an end to the one that it should meet. Both poses
// look out of their pieces.
func MissBetween(from, to track.Pose) Miss {
	g := gapBetween(from, to)
	return Miss{g.along, g.across, g.turn}
}

// MM is the distance.
func (m Miss) MM() float64 { return gap{m.AheadMM, m.LeftMM, m.Turn}.mm() }

// Within says whether track flexes that far, so that no warning is given.
func (m Miss) Within() bool {
	return m.MM() <= toleranceMM && m.Turn <= toleranceDeg && m.Turn >= -toleranceDeg
}

// FindPlace finds a place by any of the names that the format knows: "main 7",
// "W1", "main 7/8", "main 5/siding 1", "W1 diverging", "main 20/end".
func FindPlace(l *track.Layout, text string) (track.Place, bool) {
	none := track.Place{Piece: -1, End: -1}
	head, side, joint := strings.Cut(strings.Join(strings.Fields(text), " "), "/")
	if head == "" {
		return none, false
	}
	if p := l.FindPiece(head); p >= 0 {
		if !joint {
			return track.Place{Piece: p, End: -1}, true
		}
		for e := range l.Pieces[p].Ends {
			_, own, _ := strings.Cut(l.SideName(track.EndRef{Piece: p, End: e}), "/")
			if own == side || own == l.Pieces[p].Run+" "+side || l.Pieces[p].Ends[e].Label == side ||
				l.Pieces[p].Run+" "+own == side {
				return track.Place{Piece: p, End: e}, true
			}
		}
		return none, false
	}
	if i := strings.LastIndexByte(head, ' '); i > 0 && !joint {
		if p := l.FindPiece(head[:i]); p >= 0 {
			if e := l.Pieces[p].EndIndex(head[i+1:]); e >= 0 {
				return track.Place{Piece: p, End: e}, true
			}
		}
	}
	return none, false
}
