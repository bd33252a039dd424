package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// SymptomKind is what the user saw.
type SymptomKind string

// The symptoms.
const (
	Short      SymptomKind = "short"
	ShortTrain SymptomKind = "short-train"
	Dead       SymptomKind = "dead"
	WeakTrack  SymptomKind = "weak"
	// An accessory that an insulated rail works never works, works all the
	// time, works with a train beside its rail, or flickers.
	AccessoryDead      SymptomKind = "accessory-dead"
	AccessoryOn        SymptomKind = "accessory-on"
	AccessoryElsewhere SymptomKind = "accessory-elsewhere"
	AccessoryFlickers  SymptomKind = "accessory-flickers"
	// StaysLive is a block that has volts with its toggle off; at a piece of it.
	StaysLive SymptomKind = "stays-live"
	// OutOfPhase is sparks, or a trip, where a train passes from the track of
	// one supply to that of another.
	OutOfPhase SymptomKind = "phase"
)

// Symptom is what was seen, and where: a piece, an accessory or a supply (by
// index, -1 for not known).
type Symptom struct {
	Kind                     SymptomKind
	Piece, Accessory, Supply int
	// Sometimes says that the fault comes and goes: a reading may meet the
	// sound layout.
	Sometimes bool
	// Thrown is how the points stood when a short tripped the breaker, those that
	// stood to through left out; nil where nobody knows.
	Thrown map[int]string
	// Worse are links one of which got worse by about Ohms, each with how likely that is:
	// readings held against those of good evenings say so. Nil where there are none.
	Worse map[int]float64
	Ohms  float64
}

// unlikely is what a fault that does not explain the symptom still gets: the
// user may have described it wrongly.
const unlikely = 0.002

// symptomTiles is how many rows of pieces the symptom is worked out for: it
// changes little from one piece to the next.
const symptomTiles = 80

// SetSymptom weighs every hypothesis by how well it explains what was seen.
func (e *Engine) SetSymptom(y Symptom) {
	e.symptomKind, e.sometimes, e.blamed = y.Kind, y.Sometimes, nil
	sights := sighting{e}.sights(y)
	twoOpens{e}.add(y, sights)
	alive := make([]int, len(e.Hypos))
	weight := make([]float64, len(e.Hypos))
	for i := range alive {
		alive[i], weight[i] = i, e.Hypos[i].Prior
	}
	var setups []conductor.Setup
	var points []int
	for i := range sights {
		setups = append(setups, sights[i].setup)
		points = append(points, sights[i].red, sights[i].black)
	}
	f := framer{e}.newFrame(alive, weight, setups, points, len(points), symptomTiles, [conductor.NumClasses]float64{})
	s := e.newStage(f, nil)
	sound := Hypo{sevs: []severity{{}}}
	e.healthy = s.see(sights, &sound, sound.sevs[0], map[string]*predict.Circuit{})
	if e.tired = (tired{}); y.Worse == nil {
		e.tired = sighting{e}.tiredness(s, sights)
	}
	e.soundShows = sighting{e}.explains(y.Kind, sights, e.healthy) > 0.5
	for gi := range f.groups {
		g := &f.groups[gi]
		lead := &e.Hypos[g.lead]
		own := map[string]*predict.Circuit{}
		// The resistance at the posts grows with the bridge's own: one solution
		// a place is enough to weigh a short.
		added := y.Kind == Short && lead.Effect.Kind == predict.EffectBridge
		var values []float64
		for k, sev := range lead.sevs {
			if k == 0 || !added {
				values = s.see(sights, lead, sev, own)
			} else {
				for i := range values {
					values[i] += sev.ohms - lead.sevs[k-1].ohms
				}
			}
			log := math.Log(math.Max(unlikely, sighting{e}.explains(y.Kind, sights, values)))
			for _, h := range g.hypos {
				e.Hypos[h].symptom[k] = log + sighting{e}.nearness(y.Kind, h, y.Piece)
			}
		}
	}
	if y.Worse != nil {
		sighting{e}.weighWorse(&y)
	}
	sighting{e}.weighSpecial(y.Kind)
}

// worseSpread is how far the ohms that readings told may be off, as a log-sd: what they
// are reckoned with is the file's (assumed).
// Above worseMost, ohm, one contact reads as another, and as an open one: what is left goes
// another way, or is next to nothing (assumed).
const worseSpread, worseMost = 0.5, 2

// weighWorse takes what readings told in place of what was seen: no train felt it yet.
func (e sighting) weighWorse(y *Symptom) {
	most := 0.0
	for _, w := range y.Worse {
		most = max(most, w)
	}
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Suspect < 0 {
			continue
		}
		s, share := &e.Suspects[h.Suspect], 0.0
		open := s.Mode == track.Open
		if s.Mode == track.Weak || open && len(s.Links) == 1 {
			share = y.Worse[s.Links[0]] / most
		}
		for k, sev := range h.sevs {
			ohms := min(sev.ohms, worseMost)
			if open {
				ohms = worseMost
			}
			off := math.Log(ohms/min(y.Ohms, worseMost)) / worseSpread
			h.symptom[k] = math.Log(max(unlikely, share*math.Exp(-off*off/2)))
		}
	}
}

// SoundShows says whether the layout as the file has it, with nothing wrong,
// already has the symptom that was set: then the file (or the design) is wrong.
func (e *Engine) SoundShows() bool { return e.soundShows }

// weighSpecial sets the causes that are no suspect to their share of what the
// symptom leaves, so that a layout with many joints does not make a short more
// often the train's fault.
func (e sighting) weighSpecial(kind SymptomKind) {
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
	e.weighTired()
}

// How likely a symptom is that does not say where the fault is, beside one that does
// (all assumed). offElsewhere: a dead or weak place for a cause off the track. Of a
// short that a train brings: farPart where the fault lies in no piece (a wire, a
// supply), farRun on another run than where it trips, and on the same run falling
// by e in nearPieces of them, to farRun at the least.
const offElsewhere, farPart, farRun, nearPieces = 0.1, 0.05, 0.02, 2

// special weighs the causes off the track: a train can short a layout, but
// does not make one stretch dead.
func (e sighting) special(kind SymptomKind, h *Hypo) float64 {
	if h.blank || kind == Short || kind == ShortTrain {
		return 0
	}
	return math.Log(offElsewhere)
}

// nearness favours faults near the place where only a train brings the short.
func (e sighting) nearness(kind SymptomKind, h, piece int) float64 {
	if kind != ShortTrain || piece < 0 || e.Hypos[h].Suspect < 0 {
		return 0
	}
	s := &e.Suspects[e.Hypos[h].Suspect]
	if s.PieceIndex < 0 {
		return math.Log(farPart)
	}
	p, q := &e.Net.Layout.Pieces[piece], &e.Net.Layout.Pieces[s.PieceIndex]
	if p.Run != q.Run {
		return math.Log(farRun)
	}
	d := math.Abs(float64(p.Number - q.Number))
	return math.Log(math.Max(math.Exp(-d/nearPieces), farRun))
}

// hardlySeen is how likely a symptom must be under a fault for it to be a cause of
// it: a place that has lost a hundredth is called weak for it in 0.02 (slowed).
const hardlySeen = 0.015

// Explaining is the belief in faults of the map that would show what was seen.
func (e *Engine) Explaining(p *Posterior) float64 {
	sum := 0.0
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Suspect < 0 {
			continue
		}
		for k, w := range p.Severity[i] {
			if math.Exp(h.symptom[k]) >= hardlySeen {
				sum += w * p.Hypo[i]
			}
		}
	}
	for i := range p.Pairs {
		sum += p.Pairs[i].P
	}
	return sum
}
