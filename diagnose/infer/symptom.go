package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// SymptomKind is what the user saw.
type SymptomKind string

// The symptoms.
const (
	Short      SymptomKind = "short"
	ShortTrain SymptomKind = "short-train"
	Dead       SymptomKind = "dead"
	WeakTrack  SymptomKind = "weak"
)

// unlikely is what a fault that does not explain the symptom still gets: the
// user may have described it wrongly.
const unlikely = 0.002

// symptomTiles is how many rows of pieces the symptom is worked out for: it
// changes little from one piece to the next.
const symptomTiles = 80

// SetSymptom weighs every hypothesis by how well it explains what was seen.
// piece is where it was seen, -1 when that is not known.
func (e *Engine) SetSymptom(kind SymptomKind, piece int) {
	e.symptomKind = kind
	alive := make([]int, len(e.Hypos))
	weight := make([]float64, len(e.Hypos))
	for i := range alive {
		alive[i], weight[i] = i, e.Hypos[i].Prior
	}
	setups, points := e.symptomSetups(kind, piece)
	f := e.newFrame(alive, weight, setups, points, symptomTiles, [conductor.NumClasses]float64{})
	s := e.newStage(f, nil)
	sound := Hypo{sevs: []severity{{}}}
	healthy := make([]float64, len(setups))
	for i := range setups {
		healthy[i] = s.symptomValue(kind, &setups[i], points, i, &sound, sound.sevs[0], map[string]*predict.Circuit{})
	}
	for gi := range f.groups {
		g := &f.groups[gi]
		lead := &e.Hypos[g.lead]
		own := map[string]*predict.Circuit{}
		// The resistance at the posts grows with the bridge's own: one solution
		// a place is enough to weigh a short.
		first := make([]float64, len(setups))
		added := (kind == Short || kind == ShortTrain) && lead.Effect.Kind == predict.EffectBridge
		for k, sev := range lead.sevs {
			best := math.Log(unlikely)
			for i := range setups {
				v := first[i] + sev.ohms - lead.sevs[0].ohms
				if k == 0 || !added {
					v = s.symptomValue(kind, &setups[i], points, i, lead, sev, own)
				}
				if k == 0 {
					first[i] = v
				}
				best = math.Max(best, math.Log(e.explains(kind, i, lead, healthy[i], v)))
			}
			for _, h := range g.hypos {
				e.Hypos[h].symptom[k] = best + e.nearness(kind, h, piece)
			}
		}
	}
	e.weighSpecial(kind)
}

// weighSpecial sets the causes that are no suspect to their share of what the
// symptom leaves, so that a layout with many joints does not make a short more
// often the train's fault.
func (e *Engine) weighSpecial(kind SymptomKind) {
	left := 0.0
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Suspect < 0 {
			continue
		}
		for k, s := range h.sevs {
			left += h.Prior * math.Exp(s.logPrior+h.symptom[k])
		}
	}
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Suspect >= 0 {
			continue
		}
		share := e.Model.OffTrack
		if h.blank {
			share = e.Model.NotOnMap
		}
		h.Prior = share * left / (1 - e.Model.OffTrack - e.Model.NotOnMap)
		for k := range h.symptom {
			h.symptom[k] = e.special(kind, h)
		}
	}
}

// special weighs the causes off the track: a train can short a layout, but
// does not make one stretch dead.
func (e *Engine) special(kind SymptomKind, h *Hypo) float64 {
	if h.blank || kind == Short || kind == ShortTrain {
		return 0
	}
	return math.Log(0.1)
}

// symptomSetups gives one set-up a supply in which the symptom would show,
// and the pair of points where: the posts, or the rails at the place.
func (e *Engine) symptomSetups(kind SymptomKind, piece int) (setups []conductor.Setup, points []int) {
	for i := range e.Net.Posts {
		hot, common := e.Net.Posts[i][0], e.Net.Posts[i][1]
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
		if kind == Dead || kind == WeakTrack {
			if piece < 0 {
				continue
			}
			c := e.Net.Layout.Pieces[piece].Construction
			red, black := e.Net.Middle(piece, c.Hot), e.Net.Middle(piece, c.Common)
			if red < 0 || black < 0 {
				continue
			}
			volts := e.Net.Layout.Supplies[i].Volts
			s.Source = conductor.Source{Kind: conductor.SourceVolts, From: hot, To: common, Volts: volts}
			s.Loads = []conductor.Load{{From: red, To: black, Ohms: volts / 1.0}}
			hot, common = red, black
		}
		setups = append(setups, s)
		points = append(points, hot, common)
	}
	return setups, points
}

// symptomValue is the resistance at the posts (for a short) or the volts under
// a train's load at the place.
func (s *stage) symptomValue(kind SymptomKind, setup *conductor.Setup, points []int, i int, h *Hypo, sev severity, own map[string]*predict.Circuit) float64 {
	c := s.cases(h, sev, own).of(setup, setup.Key())
	if c == nil {
		return math.Inf(1)
	}
	if kind == Short || kind == ShortTrain {
		return c.Ohms(points[2*i], points[2*i+1])
	}
	v, _ := c.Volts(points[2*i], points[2*i+1])
	return math.Abs(v)
}

// explains is P(symptom | fault) from the value that the fault gives.
func (e *Engine) explains(kind SymptomKind, supply int, h *Hypo, healthy, v float64) float64 {
	switch kind {
	case Short, ShortTrain:
		s := &e.Net.Layout.Supplies[supply]
		trip := 2.0
		if s.Breaker > 0 && s.Volts > 0 {
			trip = s.Volts / s.Breaker
		}
		if math.IsInf(v, 1) {
			return unlikely
		}
		// A breaker trips surely well above its rating; supplies sag.
		return math.Max(unlikely, 1/(1+math.Pow(v/(1.5*trip), 4)))
	case Dead:
		if healthy <= 0 {
			return unlikely
		}
		return math.Max(unlikely, 1/(1+math.Pow(v/healthy/0.35, 6)))
	case WeakTrack:
		if healthy <= 0 {
			return unlikely
		}
		x := v / healthy
		sagging := 1 / (1 + math.Pow(x/0.95, 24)) // half at 5 % lost
		notDead := 0.2 + 0.8/(1+math.Pow(0.25/math.Max(x, 1e-3), 4))
		return math.Max(unlikely, sagging*notDead)
	}
	return 1
}

// nearness favours faults near the place where only a train brings the short.
func (e *Engine) nearness(kind SymptomKind, h, piece int) float64 {
	if kind != ShortTrain || piece < 0 || e.Hypos[h].Suspect < 0 {
		return 0
	}
	s := &e.Suspects[e.Hypos[h].Suspect]
	if s.PieceIndex < 0 {
		return math.Log(0.05)
	}
	p, q := &e.Net.Layout.Pieces[piece], &e.Net.Layout.Pieces[s.PieceIndex]
	if p.Run != q.Run {
		return math.Log(0.02)
	}
	d := math.Abs(float64(p.Number - q.Number))
	return math.Log(math.Max(math.Exp(-d/2), 0.02))
}
