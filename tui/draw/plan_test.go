package draw_test

import (
	"fmt"
	"testing"

	"fishplate/diagnose/track"
	"fishplate/tui/draw"
	"fishplate/tui/internal/rig"
)

func TestLook(t *testing.T) {
	l := rig.Oval(6)
	lv := make([]draw.Level, len(l.Pieces))
	for i := range lv {
		lv[i] = draw.Level(1 + i*4/len(lv))
	}
	look := draw.Look{Levels: lv, Chosen: -1, Names: true, Ranks: []int{37, 36},
		Marks: []draw.Mark{{At: track.Place{Piece: 12, End: 1}, Side: 0, Text: "R", Kind: draw.ProbeRed}, {At: track.Place{Piece: 12, End: 1}, Side: 1, Text: "B", Kind: draw.ProbeBlack}}}
	for _, a := range []bool{true, false} {
		look.ASCII = a
		fmt.Println(draw.Plan(l, 60, 20, draw.Fit(l, 60, 20), look))
	}
	fmt.Println(draw.Plan(l, 60, 20, draw.Near(l, 60, 20, 4, 2000, 0), look))
}
