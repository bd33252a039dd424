package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// A filament's light goes with the 3.4th power of its volts and its current with
// their 0.55th (Fink and Beaty, "Standard Handbook for Electrical Engineers", 11th
// ed. 1978, p. 22-8, as cited by an encyclopedia's page on lamp rerating): with
// about the sixth power of the current. A lamp that takes 0.82 of its full
// current gives a third of its light, one that takes 0.35 next to none; where
// people say bright, glowing and dark is assumed. The model's lamp is a resistor of
// its hot ohms: a real one behind a few ohm takes a tenth more, well within
// these spreads and that of the current.
const (
	brightFrom, brightSD = 0.82, 0.15 // part of the full current, log-sd
	litFrom, litSD       = 0.35, 0.3
	// dimmer is how often a lamp in full is called glowing: it is made for more
	// volts, or the handle is not up (assumed).
	dimmer = 0.12
)

// lightOdds are the odds of bright, of glowing and of dark for a part of the
// lamp's full current.
func lightOdds(part float64) (bright, glowing, dark float64) {
	if part <= 0 {
		return 0, 0, 1
	}
	above := func(from, sd float64) float64 { return math.Erfc(-math.Log(part/from)/sd/math.Sqrt2) / 2 }
	lit := above(litFrom, litSD)
	bright = (1 - dimmer) * above(brightFrom, brightSD) * lit
	return bright, lit - bright, 1 - lit
}

// lightPart is the part of its full current that the lamp that is looked at takes: the
// one in series, or the one that is laid across the two points of the reading.
func lightPart(o *Observation, k *predict.Case) float64 {
	src := &o.Setup.Source
	switch {
	case o.Setup.LightsLoad():
		volts, _ := k.Volts(o.Red, o.Black)
		return meter.LampPart(math.Abs(volts / src.Volts))
	case src.Kind == conductor.SourceLamp && src.Amps > 0:
		return math.Abs(k.Amps()) / src.Amps
	}
	return 0
}

// lightBy is what of the circuit moves the light of the lamp that is looked at.
func lightBy(s *conductor.Setup) predict.Quantity {
	if s.LightsLoad() {
		return predict.Voltage
	}
	return predict.Current
}

// logLight is the log likelihood of what a lamp does.
func logLight(kind unit.Kind, part float64) float64 {
	bright, glowing, dark := lightOdds(part)
	p := map[unit.Kind]float64{unit.Bright: bright, unit.Glowing: glowing, unit.Dark: dark}[kind]
	return math.Max(math.Log(p), impossible)
}

// yesNo says whether a setting shows no number: a tone or none, a light or none.
func yesNo(f meter.Function) bool { return f == meter.Beeper || f == meter.Lamp }
