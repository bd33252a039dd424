package hunt

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

func (g *ground) checkSymptom(s *Symptom) error {
	if !slices.Contains(Symptoms(), s.Kind) {
		return fmt.Errorf("%q is no symptom: write short, short-train, dead, weak, stays-live, accessory-dead, "+
			"accessory-on, accessory-elsewhere, accessory-flickers or phase", s.Kind)
	}
	switch {
	case s.Kind.OfAccessory():
		if g.accessory(s.At) < 0 {
			return fmt.Errorf("there is no accessory %q in the layout file%s", s.At, thereIs(accessoryNames(g.layout)))
		}
	case s.Kind == SymptomPhase:
		if g.otherSupply(s.At) < 0 {
			return fmt.Errorf("a phase needs two AC supplies: %q is no second one%s", s.At,
				thereIs(otherSupplies(g.layout)))
		}
	case s.Kind == SymptomLive && g.layout.BlockOf(g.placePiece(s.At)) < 0:
		return fmt.Errorf("stays-live needs a piece of a block that a toggle switches: %q is none%s", s.At,
			thereIs(switchedPieces(g.layout)))
	case s.At == "" && s.Worse == nil && !s.Kind.OfShort():
		return fmt.Errorf("%s needs its place: write in at where it begins, a piece or a joint, such as %s", s.Kind,
			g.layout.Pieces[0].ID())
	case s.At != "" && g.placePiece(s.At) < 0:
		return fmt.Errorf("there is no piece or joint %q on this layout: pieces are written like %s", s.At,
			g.layout.Pieces[0].ID())
	}
	return cmp.Or(g.checkSupplies(), g.checkThrown(s), g.checkWorse(s))
}

// known turns a piece's other names into the one used everywhere.
func (m *matter) known(name *string) error {
	for _, c := range m.engine.Classes {
		if strings.EqualFold(c, *name) {
			*name = c
			return nil
		}
	}
	if p := m.layout.FindPiece(*name); p >= 0 {
		*name = m.layout.Pieces[p].ID()
		return nil
	}
	return fmt.Errorf("there is no piece or feeder %q on this layout", *name)
}

// placePiece is the piece at a named place, -1 when there is none.
func (g *ground) placePiece(at string) int {
	if p := g.layout.FindPiece(at); p >= 0 {
		return p
	}
	if j := g.layout.FindJoint(at); j >= 0 {
		return g.layout.Joints[j].B.Piece
	}
	return -1
}

func (m *matter) symptomPiece() int {
	if m.symptom == nil || m.symptom.At == "" {
		return -1
	}
	return m.placePiece(m.symptom.At)
}

// shortHunt says whether a short is hunted.
func (m *matter) shortHunt() bool {
	return m.symptom.Kind.OfShort()
}

// standIn says whether a battery or a DC pack stands in for the layout's own
// supply: behind a lamp in a short, and bare where that lies across the rails.
func (m *matter) standIn() bool {
	volts, _ := m.kit.feed()
	return volts > 0 && (m.shortHunt() || m.symptom.Loaded()) && len(m.layout.Supplies) > 0
}

// Loaded says whether what is hunted is read with the lamp across the rails.
func (s *Symptom) Loaded() bool { return s.Kind == SymptomWeak || s.Kind == SymptomDead }

// standsBare says that the battery stands in with the lamp across the rails.
func (m *matter) standsBare() bool { return m.standIn() && m.symptom.Loaded() }

// ac says whether what is read is AC.
func (m *matter) ac() bool {
	return len(m.layout.Supplies) > 0 && m.layout.Supplies[0].AC && !m.standIn()
}

// millivolts says whether the kit reads them here: many meters do on DC only.
func (m *matter) millivolts() bool {
	in := m.kit.instrument(m.ac())
	return m.kit.Millivolts && in.Has(meter.Millivolts, m.ac())
}

// anyLoad is the log-sd of what a lit car or an engine held still takes (assumed).
const anyLoad = 0.5

// start makes the hypotheses for the symptom.
func (m *matter) start() {
	ac, key := m.ac(), m.symptom.key()
	if m.engine == nil || m.engine.Model.AC != ac || m.weighed != key {
		model := infer.DefaultModel(m.net, m.kit.instrument(ac), ac)
		if len(m.layout.Supplies) > 0 {
			_, model.LampSD = m.kit.LampCurrent(m.lampFeed(0))
		}
		switch {
		case !m.laysLamp():
			model.LoadSD = anyLoad
		case m.standsBare():
			model.LoadSD = model.LampSD
		}
		if m.kit.Track != nil {
			model.Level = m.kit.Track.level(model.Level)
		}
		m.engine, m.weighed, m.memo = infer.NewEngine(m.net, model), key, &memory{}
		m.engine.SetSymptom(m.seen())
	}
}

// lookMiss is how often a look at the bad piece finds nothing, lookMissAway the
// same for a fault that comes and goes (assumed).
const lookMiss, lookMissAway = 0.03, 0.3

// LookMiss is how often a look at the bad piece finds nothing.
func (s *Symptom) LookMiss() float64 {
	if s.Sometimes {
		return lookMissAway
	}
	return lookMiss
}

// enoughLooks is how often a piece is looked at and found good before all others come
// first: twice where the fault comes and goes.
func (s *Symptom) enoughLooks() int {
	if s.Sometimes {
		return 2
	}
	return 1
}
