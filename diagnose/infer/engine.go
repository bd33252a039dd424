package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// Hypo is one hypothesis: usually one suspect.
type Hypo struct {
	Suspect int // index into Engine.Suspects, -1 for the special ones
	Class   int // index into Engine.Classes: what would be lifted
	Prior   float64
	Effect  predict.Effect
	Out     []int           // links taken out, for faults that no single Effect describes
	Extra   []predict.Extra // branches added, likewise
	Slides  []predict.Slide
	sevs    []severity
	symptom []float64 // log P(symptom | this hypothesis, severity cell)
	blank   bool      // predicts nothing: not on the map
	twin    bool      // the second fault of Effect is as bad as the first, about
	cut     int       // one more than an index into Engine.cut, 0 for nothing cut
}

// The decision classes that are not pieces of track.
const (
	ClassOffTrack = "off the track"
	ClassNotOnMap = "not on the map"
)

// Engine holds a layout's hypotheses.
type Engine struct {
	*wired
	Model    Model
	Suspects []fault.Suspect
	Classes  []string
	Hypos    []Hypo
	singles  int     // how many of them come from the layout alone, the first
	off      int     // the one that nothing on the map is wrong
	cut      []cut   // beside the symptom's place, by way and side: see twoOpens
	rails    [][]int // piece -> its rail links
	// symptomKind is what SetSymptom was told.
	symptomKind SymptomKind
	sometimes   bool
	healthy     []float64 // what the sound layout shows at the symptom's sights
	soundShows  bool      // and whether that is the symptom
	tired       tired     // how it shows on a layout that is bad all over
	// What Cover and OnlyPlugged worked out, as it was wanted: it follows from
	// the layout alone.
	covers   map[int][]Vantage
	plugged  []bool
	betweens []Between // once they were wanted
	blamed   *blamed   // what wiresBurnIt worked out last, for the symptom that was told
	// ClassPiece is the piece of the layout that a class means, -1.
	ClassPiece []int
}

// NewEngine lists the hypotheses of a network.
func NewEngine(n *conductor.Network, m Model) *Engine {
	e := &Engine{wired: &wired{turnings: turnings{Net: n}}, Model: m, Suspects: fault.List(n)}
	e.Classes = append(fault.Pieces(e.Suspects), ClassOffTrack, ClassNotOnMap)
	class := map[string]int{}
	for i, name := range e.Classes {
		class[name] = i
		e.ClassPiece = append(e.ClassPiece, -1)
	}
	rest := 1 - m.NotOnMap - m.OffTrack
	e.Hypos = make([]Hypo, 0, len(e.Suspects)+len(n.Layout.Feeders)+2) // twins, and the two special ones
	for i := range e.Suspects {
		s := &e.Suspects[i]
		h := e.hypo(i)
		h.Class = class[s.Piece]
		e.ClassPiece[h.Class] = s.PieceIndex
		h.Prior = s.Odds * rest
		e.Hypos = append(e.Hypos, h)
	}
	e.addTwins()
	anywhere := []severity{{ohms: math.Inf(1)}}
	e.Hypos = append(e.Hypos,
		Hypo{Suspect: -1, Class: class[ClassOffTrack], Prior: m.OffTrack, sevs: anywhere},
		Hypo{Suspect: -1, Class: class[ClassNotOnMap], Prior: m.NotOnMap, sevs: anywhere, blank: true})
	e.singles, e.off = len(e.Hypos), len(e.Hypos)-2
	for i := range e.Hypos {
		e.Hypos[i].symptom = make([]float64, len(e.Hypos[i].sevs))
	}
	return e
}

// hypo turns suspect i into what the network feels.
func (e *Engine) hypo(i int) Hypo {
	s := &e.Suspects[i]
	k := &e.Net.Links[s.Links[0]]
	h := Hypo{Suspect: i, sevs: severities(s.MinOhms, s.MaxOhms)}
	switch s.Mode {
	case track.Bridged:
		h.Effect = predict.Effect{Kind: predict.EffectBridge, A: k.A, B: k.B, Within: e.within(s.Links[0])}
		h.Slides = e.slides(k)
		if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
			h.sevs = standing(h.sevs, s.MaxOhms)
		}
	case track.Weak:
		h.Effect = predict.Effect{Kind: predict.EffectWeak, Link: s.Links[0]}
	case track.Open:
		if s.Part == track.PartLoad { // one link cold, one hot
			h.Out = append(h.Out, s.Links...)
			break
		}
		h.Effect = predict.Effect{Kind: predict.EffectOpen, Link: s.Links[0], Ohms: math.Inf(1)}
	case track.Swapped, track.Misplaced:
		for _, m := range s.Moves {
			k := &e.Net.Links[m.Link]
			h.Out = append(h.Out, m.Link)
			h.Extra = append(h.Extra, predict.Extra{A: m.A, B: m.B, Ohms: k.Ohms, Link: m.Link + 1})
		}
	}
	return h
}

// compound says whether the hypothesis needs circuits of its own.
func (h *Hypo) compound() bool { return len(h.Out) > 0 || len(h.Extra) > 0 }

// at gives the effect at a severity.
func (h *Hypo) at(s severity) predict.Effect {
	e := h.Effect
	e.Ohms = s.ohms
	if h.twin {
		also := *e.Also
		also.Ohms, e.Also = s.ohms, &also
	}
	return e
}
