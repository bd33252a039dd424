package hunt

import (
	"math"

	"fishplate/diagnose/infer"
)

// Track is what hunts have learned of a layout's rails and joints: natural
// logarithms of how many times the file's resistances they have, with standard
// deviations. It is kept with the layout for the next hunt.
type Track struct {
	Rail    float64 `json:"rail"`
	RailSD  float64 `json:"rail_sd"`
	Joint   float64 `json:"joint"`
	JointSD float64 `json:"joint_sd"`
}

// aging is what may change from one hunt to the next: dirt, damp, repairs
// (log-sd, assumed).
const aging = 0.15

// level is the belief that a hunt starts with on a track that is known.
func (k *Track) level(l infer.Level) infer.Level {
	l.CommonMean, l.CommonSD = k.Rail, math.Hypot(k.RailSD, aging)
	l.JointMean = k.Joint - k.Rail
	l.JointSD = math.Hypot(math.Sqrt(math.Max(k.JointSD*k.JointSD-k.RailSD*k.RailSD, 0)), aging)
	l.Tail = 0.05
	return l
}

// learned is what the readings of this hunt say of the track, nil before any
// did.
func (te teller) learned(p *infer.Posterior) *Track {
	if p.LevelSD[0] <= 0 || p.LevelSD[0] > 0.9*te.engine.Model.Level.CommonSD {
		return nil
	}
	return &Track{Rail: p.LevelMean[0], RailSD: p.LevelSD[0], Joint: p.LevelMean[1], JointSD: p.LevelSD[1]}
}
