package simulate

import (
	"math"
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// DrawOhms draws the true resistance of every link: log-normal about its
// median with its own spread, times a factor for all links of the rail class
// and one for all of the joint class (1 and 1 is track as the file states it);
// wires and jumpers keep their own.
func DrawOhms(n *conductor.Network, rng *rand.Rand, railFactor, jointFactor float64) []float64 {
	out := make([]float64, len(n.Links))
	for i := range n.Links {
		k := &n.Links[i]
		z := rng.NormFloat64() // drawn for every link, so that one more link changes no other
		if k.NormallyOpen {
			continue
		}
		out[i] = k.Ohms * math.Exp(k.Spread*z)
		switch k.Class {
		case conductor.ClassRail:
			out[i] *= railFactor
		case conductor.ClassJoint:
			out[i] *= jointFactor
		}
	}
	return out
}

// DrawLevel draws a factor shared by all links of a class: log-normal about 1.
func DrawLevel(rng *rand.Rand, sd float64) float64 { return math.Exp(sd * rng.NormFloat64()) }

// DrawFault draws one of the suspects by their odds, its resistance log-uniform
// between its bounds and its position uniform. The list must not be empty.
func DrawFault(suspects []fault.Suspect, rng *rand.Rand) Fault {
	sum := 0.0
	for i := range suspects {
		sum += suspects[i].Odds
	}
	x := rng.Float64() * sum
	pick := len(suspects) - 1
	for i := range suspects {
		if x -= suspects[i].Odds; x < 0 {
			pick = i
			break
		}
	}
	return Realise(suspects[pick], rng)
}

// Realise makes a given suspect come true: its resistance log-uniform between
// its bounds, its position uniform.
func Realise(s fault.Suspect, rng *rand.Rand) Fault {
	f := Fault{Suspect: s, Position: rng.Float64()}
	u := rng.Float64()
	if s.Mode == track.Bridged || s.Mode == track.Weak {
		f.Ohms = math.Exp(math.Log(s.MinOhms) + u*(math.Log(s.MaxOhms)-math.Log(s.MinOhms)))
	}
	return f
}
