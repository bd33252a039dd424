package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// Observation is one reading that was taken.
type Observation struct {
	Setup      conductor.Setup
	Func       meter.Function
	Red, Black int // points of the network; unused for Amps
	Shown      unit.Reading
	// Watched says that the lamp was lit while it was taken: a fault that comes
	// and goes was there.
	Watched bool
	// Under says what the track was fed with then: another supply may stand in since.
	Under Current
}

// Current is a kind of current; AsModel is that of the model.
type Current uint8

// The kinds of current.
const (
	AsModel Current = iota
	Alternating
	Direct
)

// alternates says whether a reading was one of AC.
func (m *Model) alternates(o *Observation) bool {
	return o.Under == Alternating || o.Under == AsModel && m.AC
}

// Model is what is taken for granted about instruments and layout.
type Model struct {
	Meter meter.Meter
	AC    bool // volts and millivolts show magnitudes only
	// LampSD, SupplySD and LoadSD are log-sds: of the lamp's current, of the
	// supply's volts, of a load's resistance. A lamp that nobody knows
	// (UnknownLamp) is cut into cells, as the levels are.
	LampSD, SupplySD, LoadSD float64
	// Misread is the probability that a reading says nothing (wrong joint,
	// slipped probe, slip of the pen); at most two are reckoned with.
	Misread float64
	// NotOnMap is the prior that no suspect of the file explains it, and
	// OffTrack that the cause is a train or the supply.
	NotOnMap, OffTrack float64
	Level              Level
}

// Level is what is believed about the level of this layout's resistances
// before the first reading: natural logarithms relative to the file.
type Level struct {
	// Common is shared by rails and joints, Joint is what joints have on top.
	CommonMean, CommonSD float64
	JointMean, JointSD   float64
	RailSD               float64 // what rails have on top
	// Tail is the probability that the layout is far from the file: the
	// spreads are then three times as wide.
	Tail float64
}

// What DefaultModel takes for granted, where file and kit say nothing (all assumed).
// Spreads are log-sds: usualLevel of what rails and joints of a layout have in common,
// leastJoint the least of what joints have on top, railLevel what rails have,
// supplyLoss a supply's volts, loadLoss a load's ohms. misread, notOnMap, offTrack and
// farLayout are probabilities: of a reading that says nothing, of a cause that is
// not in the file, of a train or the supply, of a layout far from the file.
const (
	usualLevel, leastJoint, railLevel      = 0.4, 0.25, 0.12
	supplyLoss, loadLoss                   = 0.03, 0.1
	misread, notOnMap, offTrack, farLayout = 0.03, 0.01, 0.1, 0.15
)

// idleVolts is the log-sd of what a supply gives behind a lamp with nothing across the
// rails, beside what is written on it: a charged battery of 12 V has 12.7, a
// transformer gives a tenth more than under load (assumed).
const idleVolts = 0.08

// DefaultModel is the model for a network with an ordinary meter.
func DefaultModel(n *conductor.Network, m meter.Meter, ac bool) Model {
	common := n.RailLevel
	if common <= 0 {
		common = usualLevel
	}
	joint := math.Sqrt(math.Max(n.JointLevel*n.JointLevel-common*common, leastJoint*leastJoint))
	return Model{Meter: m, AC: ac, LampSD: UnknownLamp, SupplySD: supplyLoss, LoadSD: loadLoss,
		Misread: misread, NotOnMap: notOnMap, OffTrack: offTrack,
		Level: Level{CommonSD: common, JointSD: joint, RailSD: railLevel, Tail: farLayout}}
}

// levelCell is a cell of the grid over the two levels: a Gaussian about its
// center.
type levelCell struct {
	common, joint     float64 // log, center
	commonSD, jointSD float64
	rail, jnt         float64 // factors: exp(common), exp(common+joint)
	logPrior          float64
	// lamp is what the lamp's current is above what the kit says, as a part of it.
	lamp float64
}

// UnknownLamp is the log-sd of the current of a lamp that nobody knows, about an
// ampere: 95 % lie between 0.45 and 2.2 A (assumed: what is at hand runs from a
// 5 W panel lamp to two brake lamps in parallel). RatedLamp is that of one whose
// watts or amperes are known: its own spread, the supply's volts, how far the
// handle is up (assumed).
const UnknownLamp, RatedLamp = 0.4, 0.15

// lampStep is how far cells of an unknown lamp's current are apart, in its log-sd,
// and lampSide how many there are on either side. Against plain draws the first
// piece's probability is 0.027 off with them, 0.041 with three in all, 0.065
// with a single Gaussian (TestBeliefAgainstDraws).
const lampStep, lampSide = 1.05, 2

// lampTail is the probability that a lamp is far from what people have at hand (assumed).
const lampTail = 0.1

// lampWithin is the log-sd of the lamp's current within one of its cells.
func (m *Model) lampWithin() float64 {
	if m.LampSD <= oneCell {
		return m.LampSD
	}
	return cellSD * widthOf(m.LampSD, lampStep*m.LampSD)
}

// lampCells are the centers of the cells of a lamp's current with their weights.
func (m *Model) lampCells() (at, weight []float64) {
	if m.LampSD <= oneCell {
		return []float64{0}, []float64{1}
	}
	at, weight, _ = axis(0, m.LampSD, lampTail, lampStep*m.LampSD)
	middle := len(at) / 2
	at, weight = at[middle-lampSide:middle+lampSide+1], weight[middle-lampSide:middle+lampSide+1]
	sum := 0.0
	for _, w := range weight {
		sum += w
	}
	for i := range weight {
		weight[i] /= sum
	}
	return at, weight
}

// cells lays the grid over the levels, and over the lamp's current where one of
// the readings hangs on it.
func (m *Model) cells(lamp bool) []levelCell {
	out := m.Level.cells()
	if at, weight := m.lampCells(); lamp && len(at) > 1 {
		all := make([]levelCell, 0, len(out)*len(at))
		for _, c := range out {
			for i := range at {
				d := c
				d.lamp, d.logPrior = math.Expm1(at[i]), c.logPrior+math.Log(weight[i])
				if d.logPrior > hardlyACell {
					all = append(all, d)
				}
			}
		}
		return all
	}
	return out
}

// behindLamp says whether a reading of a set-up hangs on the lamp's current.
func behindLamp(s *conductor.Setup) bool { return s.Source.Kind == conductor.SourceLamp }

// anyBehindLamp says whether one of the readings does.
func anyBehindLamp(obs []Observation) bool {
	for i := range obs {
		if behindLamp(&obs[i].Setup) {
			return true
		}
	}
	return false
}

// hardlyACell is the log of the probability below which a cell is left out.
const hardlyACell = -11

// commonStep and jointStep are the widest cells over the two levels, in natural
// logarithms (a factor of 1.8 and one of 2.2), and oneCell is the spread below which a
// level needs no cells (assumed; what that costs is in the 0.011 of doc.go).
const commonStep, jointStep, oneCell = 0.6, 0.8, 0.2

// cells lays the grid over the levels. A level that is known within oneCell needs one.
func (l Level) cells() []levelCell {
	cs, cw, csd := axis(l.CommonMean, l.CommonSD, l.Tail, commonStep)
	js, jw, jsd := axis(l.JointMean, l.JointSD, l.Tail, jointStep)
	var out []levelCell
	for i, c := range cs {
		for k, j := range js {
			p := math.Log(cw[i]) + math.Log(jw[k])
			if p < hardlyACell {
				continue
			}
			out = append(out, levelCell{common: c, joint: j, commonSD: csd, jointSD: jsd,
				rail: math.Exp(c), jnt: math.Exp(c + j), logPrior: p})
		}
	}
	return out
}

// cellSD is the standard deviation of a cell's Gaussian in widths of a cell:
// wide enough that the sum of them is smooth. cellsAside is how many cells there are
// to either side of the middle, cellsWithin how many spreads they may reach,
// leastCells the least cells that a spread is wide, and tailWide how much wider the tail is.
const cellSD, cellsAside, cellsWithin, leastCells, tailWide = 0.42, 4, 6.5, 0.98, 3

// widthOf is how wide cells are of what spreads by sd: step at most.
func widthOf(sd, step float64) float64 { return math.Min(step, leastCells*sd/cellSD) }

// axis gives centers and weights of cells of width step at most, and the
// standard deviation within each, that together carry a normal distribution
// with a heavy tail. What lies within the cells is taken off the spread of
// their centers, so that the sum is as wide as the distribution and no wider.
func axis(mean, sd, tail, step float64) (at, weight []float64, within float64) {
	if sd <= oneCell {
		return []float64{mean}, []float64{1}, sd
	}
	step = widthOf(sd, step)
	within = cellSD * step
	for k := -cellsAside; k <= cellsAside; k++ {
		if x := float64(k) * step; math.Abs(x) <= cellsWithin*sd {
			at, weight = append(at, mean+x), append(weight, 0)
		}
	}
	for _, part := range [2]struct{ share, sd float64 }{{1 - tail, sd}, {tail, tailWide * sd}} {
		center := math.Sqrt(part.sd*part.sd - within*within)
		density, sum := make([]float64, len(at)), 0.0
		for i, x := range at {
			switch z := (x - mean) / center; {
			case center > 0.5*step:
				density[i] = math.Exp(-z * z / 2)
			case i == len(at)/2: // too narrow for the cells: three of them, as wide
				density[i] = 1 - center*center/(step*step)
			case max(i, len(at)/2)-min(i, len(at)/2) == 1:
				density[i] = center * center / (step * step) / 2
			}
			sum += density[i]
		}
		for i := range weight {
			weight[i] += part.share * density[i] / sum
		}
	}
	return at, weight, within
}

// severity is a cell of a fault's resistance: log-uniform about Ohms.
type severity struct {
	ohms, logPrior, sd float64
	alsoSD             float64 // log-sd of a second fault's resistance
}

// What stands on the rails may have more ohms than what is wrong with a piece: an
// engine, lit cars, damp ballast. standsShare of the bridges inside pieces are
// taken to have more than the file says, up to standsOhms (assumed).
const standsShare, standsOhms = 0.12, 10

// standing adds cells for what stands on the rails to those of a bridge.
func standing(sevs []severity, hi float64) []severity {
	if hi >= standsOhms/2 {
		return sevs
	}
	more := severities(hi, standsOhms)
	for i := range sevs {
		sevs[i].logPrior += math.Log(1 - standsShare)
	}
	for _, s := range more {
		s.logPrior += math.Log(standsShare)
		sevs = append(sevs, s)
	}
	return sevs
}

// severityStep is the widest cell of a fault's resistance, in natural logarithms (a
// factor of three); a hair is taken off so that a range of whole cells is not cut
// once more. leastSeverity is the least log-sd within one: a single value of the file
// is known to 2 % (assumed). leastVariance is the least variance of a logarithm that is left
// when readings have told all of it, a thousandth of the value: rounding alone.
const severityStep, hair, leastSeverity, leastVariance = 1.1, 1e-9, 0.02, 1e-6

// severities cuts the range of a fault's resistance into cells of about a
// factor of three.
func severities(lo, hi float64) []severity {
	if hi <= 0 {
		return []severity{{ohms: math.Inf(1)}}
	}
	span := math.Log(hi / lo)
	n := max(1, int(math.Ceil(span/severityStep-hair)))
	width := span / float64(n)
	out := make([]severity, n)
	for i := range out {
		out[i] = severity{
			ohms:     lo * math.Exp(width*(float64(i)+0.5)),
			logPrior: -math.Log(float64(n)),
			sd:       math.Max(width*cellSD, leastSeverity),
		}
	}
	return out
}
