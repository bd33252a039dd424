package handout

import "fishplate/diagnose/page"

// firstLesson is what a class does before its first hunt: the meter itself, a battery, and
// volts under load (common practice, no source). The two ohms stand for a bad contact; what
// they take is worked out in its test.
func firstLesson() page.Block {
	return page.Block{Title: "A first lesson of twenty minutes, before this sheet", List: []string{
		"5 min, the leads. Beeper, or the lowest range of ohms: touch the leads together, and write down what they " +
			"show. That is the leads alone, and comes off every reading. Apart: silent, and OL. Move each lead while " +
			"they touch: a figure that jumps is a broken lead.",
		"5 min, a battery of 1.5 V. DC volts: red on plus, then red on minus, and see the minus sign. On volts only: " +
			"a meter left on amps is a dead short across what it touches.",
		"10 min, volts under load. A battery of 12 V with a fuse of 3 A at its plus, and a resistor of 2 ohm, 10 W, " +
			"in one wire: it is the bad contact. Behind it read DC volts with nothing on: 12 V, as before it. Then " +
			"a car lamp of 21 W behind it: some 9 V are left, and the rest stands across the resistor. " +
			"Without current nothing is lost, and no reading tells.",
		"Lamp and resistor get hot enough to burn: in the open, on nothing that scorches, the clip off the battery " +
			"between readings. Cover its other pole. No mains in this lesson: those are for licensed electricians, " +
			"by the local codes.",
	}}
}
