package trial

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// onTrack says whether a probe goes to the track, or to where a feeder meets it.
func (f *Field) onTrack(point int) bool {
	if point < 0 {
		return false
	}
	switch f.Net.Points[point].Kind {
	case conductor.PointMiddle, conductor.PointEnd, conductor.PointInside, conductor.PointFeeder:
		return true
	}
	return false
}

// BlockTold is what the labelled block alone says of a short: every terminal read once
// behind the lamp, from where the supply's wires join, and nothing on the track.
type BlockTold struct {
	Held  int // pieces that hold 90 % of the belief
	In    bool
	Apart int // pieces from the likeliest one to the bad one; 0: it is that
}

// Block reads a panel and nothing else.
func (f *Field) Block(x *Hidden) (BlockTold, error) {
	volts, ac := f.Layout.Supplies[0].Volts, f.Layout.Supplies[0].AC
	instrument, _ := meter.ByName(f.Kit.Meter, ac)
	model := infer.DefaultModel(f.Net, instrument, ac)
	post := f.Net.Posts[0]
	s := conductor.Usual(f.Layout)
	s.Source = conductor.Source{Kind: conductor.SourceLamp, From: post[0], To: post[1], Volts: volts}
	s.Source.Amps, model.LampSD = f.Kit.LampCurrent(volts, f.Layout.Supplies[0].Trip())
	engine := infer.NewEngine(f.Net, model)
	engine.SetSymptom(infer.Symptom{Kind: infer.SymptomKind(hunt.SymptomShort), Piece: -1, Accessory: -1, Supply: -1})
	var obs []infer.Observation
	for _, t := range f.Net.PanelPoints {
		for side, p := range t {
			red, black := post[0], p
			if side == 1 {
				red, black = p, post[1]
			}
			if p < 0 {
				continue
			}
			text, err := x.Read(simulate.Probe{Setup: s, Function: simulate.Millivolts, Red: red, Black: black})
			if err != nil {
				return BlockTold{}, err
			}
			shown, err := unit.Parse(text, unit.Setting(meter.Millivolts))
			if err != nil {
				continue
			}
			obs = append(obs, infer.Observation{Setup: s, Func: meter.Millivolts, Red: red, Black: black, Shown: shown})
		}
	}
	return f.told(engine, engine.Update(obs), x.Fault.Suspect.Piece), nil
}

func (f *Field) told(e *infer.Engine, p *infer.Posterior, bad string) BlockTold {
	order := make([]int, len(p.Class))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if p.Class[a] > p.Class[b] {
			return -1
		}
		return 1
	})
	out, sum := BlockTold{}, 0.0
	for _, c := range order {
		if sum >= 0.9 {
			break
		}
		sum += p.Class[c]
		out.Held++
		out.In = out.In || e.Classes[c] == bad
	}
	out.Apart = apart(f.Layout, e.ClassPiece[order[0]], f.Layout.FindPiece(bad))
	return out
}

// apart is how many joints lie between two pieces; the number of all pieces where
// one of them is no piece.
func apart(l *track.Layout, from, to int) int {
	if from < 0 || to < 0 {
		return len(l.Pieces)
	}
	steps := map[int]int{from: 0}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		p := queue[0]
		if p == to {
			return steps[p]
		}
		for e, end := range l.Pieces[p].Ends {
			if end.Joint < 0 {
				continue
			}
			o := l.Joints[end.Joint].Other(track.EndRef{Piece: p, End: e}).Piece
			if _, seen := steps[o]; !seen {
				steps[o] = steps[p] + 1
				queue = append(queue, o)
			}
		}
	}
	return len(l.Pieces)
}
