package fault

import "math"

// How surely a person sees a symptom, 0 to 1, by the share of the volts of the
// sound layout that is left where it is seen. Everything that asks whether a
// fault shows asks here: the belief, faults hidden on purpose, practice, cards.
// All places of the curves are assumed.
const (
	// halfDead, halfWeak: half of all people say dead, or weak, at this share of
	// a sound track's volts. Trains slow where a twentieth is lost, and hardly any
	// where a hundredth is; they stand where two thirds are.
	halfDead, halfWeak = 0.35, 0.95
	// stands: with less than about this share a weak place is called dead rather.
	stands = 0.25
	// The same of an accessory, by the share of what it takes.
	halfOut, halfFlickers, goesOut = 0.4, 0.9, 0.1
	// halfLive: from this share on a thing that should be off is called live.
	halfLive = 0.5
)

// SeenDead is of a place where nothing runs.
func SeenDead(share float64) float64 { return below(share, halfDead, 6) }

// SeenWeak is of a place where trains slow or stall.
func SeenWeak(share float64) float64 {
	return below(share, halfWeak, 80) * (0.2 + 0.8*above(share, stands, 4))
}

// SeenOut is of an accessory that never works.
func SeenOut(share float64) float64 { return below(share, halfOut, 6) }

// SeenFlickers is of an accessory that works weakly.
func SeenFlickers(share float64) float64 {
	return below(share, halfFlickers, 40) * (0.2 + 0.8*above(share, goesOut, 4))
}

// SeenLive is of what works, or is live, though it should not be.
func SeenLive(share float64) float64 { return above(share, halfLive, 6) }

// Shows says whether what is seen as surely as that is taken as seen, where no
// chance is to come in.
func Shows(seen float64) bool { return seen >= 0.5 }

// below is 1 far below half, a half there and 0 far above it.
func below(x, half, steep float64) float64 { return 1 / (1 + math.Pow(x/half, steep)) }

func above(x, half, steep float64) float64 {
	return 1 / (1 + math.Pow(half/math.Max(x, 1e-3), steep))
}
