package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// Between is two supplies whose tracks meet: one side of both is joined, and the
// other, to which Red and Black belong, is kept apart by gaps alone. Over a bridged
// gap each feeds the other backwards, and a breaker trips, though nothing lies
// across the posts of either.
type Between struct {
	A, B       int // supplies
	Red, Black int // points: the posts of A and of B that are apart
	// Clip joins the posts of B, as its winding does: then a bridged gap is seen across
	// the posts of A.
	Clip conductor.Load
}

// Betweens lists them, on the sound layout with the accessories unplugged.
func (e *Engine) Betweens() []Between {
	if len(e.Net.Posts) < 2 {
		return nil
	}
	if e.betweens == nil {
		e.betweens = sighting{e}.betweens()
	}
	return e.betweens
}

func (e sighting) betweens() []Between {
	bare := conductor.Bare(e.Net.Layout)
	var points []int
	for _, p := range e.Net.Posts {
		points = append(points, p[0], p[1])
	}
	f := e.frameOver([]conductor.Setup{bare}, points, nil, [conductor.NumClasses]float64{})
	sound := Hypo{sevs: []severity{{}}}
	c := e.newStage(f, nil).cases(&sound, sound.sevs[0], map[string]*predict.Circuit{}).of(&bare, bare.Key())
	out := []Between{}
	for b := range e.Net.Posts {
		for a := range b {
			if c == nil {
				break
			}
			pa, pb := e.Net.Posts[a], e.Net.Posts[b]
			hots, commons := joined(c, pa[0], pb[0]), joined(c, pa[1], pb[1])
			x := Between{A: a, B: b, Red: pa[0], Black: pb[0],
				Clip: conductor.Load{From: pb[0], To: pb[1], Ohms: wheelJumper}}
			if hots {
				x.Red, x.Black = pa[1], pb[1]
			}
			if hots != commons {
				out = append(out, x)
			}
		}
	}
	return out
}

// joined says whether a path leads from one point to the other.
func joined(c *predict.Case, a, b int) bool { return !math.IsInf(c.Ohms(a, b), 1) }
