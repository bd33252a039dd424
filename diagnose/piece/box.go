package piece

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Lot is all pieces of a layout that are checked alike.
type Lot struct {
	*Check
	Pieces []int
}

// Takes says how many readings a piece takes and how long, without a stop.
func (lot *Lot) Takes() string {
	return fmt.Sprintf("%s a piece, about %.0f s", unit.Count(len(lot.Readings), "reading"), lot.Seconds())
}

// Box sorts the pieces of a layout into lots, in the order in which they lie. A
// lot's readings have the ohms of its longest piece.
func Box(l *track.Layout) ([]Lot, error) {
	var out []Lot
	longest := map[string]int{}
	for i := range l.Pieces {
		name := nameOf(&l.Pieces[i])
		at := slices.IndexFunc(out, func(x Lot) bool { return x.Name == name })
		if at < 0 {
			out = append(out, Lot{Check: &Check{Name: name}})
			at, longest[name] = len(out)-1, i
		}
		out[at].Pieces = append(out[at].Pieces, i)
		if length(&l.Pieces[i]) > length(&l.Pieces[longest[name]]) {
			longest[name] = i
		}
	}
	for i := range out {
		c, err := Of(l, longest[out[i].Name])
		if err != nil {
			return nil, err
		}
		c.OnTrack = onTrack(l, out[i].Pieces)
		out[i].Check = c
	}
	return out, nil
}

func length(p *track.Piece) float64 {
	sum := 0.0
	for i := range p.Legs {
		sum += p.Legs[i].Length
	}
	return sum
}

// onTrack names the accessories that lie across rails of these pieces, without
// the coils of a turnout's motor.
func onTrack(l *track.Layout, pieces []int) []string {
	var out []string
	for i := range l.Accessories {
		if a := &l.Accessories[i]; a.OnTrack && a.Turnout < 0 && slices.Contains(pieces, a.At.Piece) {
			out = append(out, a.Name)
		}
	}
	return out
}
