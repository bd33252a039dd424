package track

// WiringFlaws are the flaws of what lies under the table and belongs to no
// construction: buses, toggles, accessories, insulated rails, plugs. All odds and
// bounds are assumed; what fails and what to look at is common practice, no
// source.
func WiringFlaws() []Flaw {
	return []Flaw{
		{Part: PartBus, Mode: Open, Odds: 1, What: "a wire is out of its terminal, or broken on the way to it",
			Look: "pull gently at both wires of the terminal and of the one before it, and follow the bus between " +
				"them"},
		{Part: PartBus, Mode: Weak, Odds: 2, MinOhms: 0.05, MaxOhms: 5,
			What: "a screw of the terminal is loose, or the wire under it corroded",
			Look: "tighten the screws of the terminal; bare and twist a dull wire end anew"},
		{Part: PartBus, Mode: Bridged, Odds: 1, MinOhms: 0.002, MaxOhms: 1,
			What: "a wire end or a loose strand touches the neighbour terminal",
			Look: "look at the terminal from above and from the side for strands that reach over, and cut or twist " +
				"them back"},
		{Part: PartBus, Mode: Swapped, Odds: 0.5,
			What: "the pair that closes the bus to a ring is crossed: hot meets common where it comes home",
			Look: "take the pair that comes home off the first terminal, read ohms between the two wires and the " +
				"terminal, and compare their colours at both ends"},
		{Part: PartToggle, Mode: Open, Odds: 1, What: "the toggle makes no contact, or a wire is off its lug",
			Look: "pull at each lug and tighten it, work the toggle twenty times, then read ohms across it: hardly " +
				"more than the leads alone"},
		{Part: PartToggle, Mode: Weak, Odds: 2, MinOhms: 0.05, MaxOhms: 5,
			What: "the toggle's contact is burnt or dirty",
			Look: "flip it twenty times with the supply off and read again; put a new one in if that does not last"},
		{Part: PartToggle, Mode: Bridged, Odds: 0.5, MinOhms: 0.002, MaxOhms: 0.5,
			What: "the toggle does not open: a contact is welded, or its two wires touch",
			Look: "switch it off and read ohms across its lugs; look for strands that touch behind it"},
		{Part: PartLead, Mode: Open, Odds: 1.5, What: "a wire of the accessory is off or broken",
			Look: "pull at the wires of the accessory, at both their ends"},
		{Part: PartLoad, Mode: Open, Odds: 1.5, What: "its bulb or coil is burnt out",
			Look: "read ohms across it with one of its wires off, or try a good bulb in its place"},
		{Part: PartLead, Mode: Weak, Odds: 1, MinOhms: 1, MaxOhms: 100,
			What: "a wire of the accessory makes poor contact",
			Look: "clean and tighten both ends of its wires"},
		{Part: PartTap, Mode: Open, Odds: 3, What: "the wire to the insulated rail is off or broken",
			Look: "follow the wire from the accessory to the rail, and look at its clip or solder", Solder: true},
		{Part: PartTap, Mode: Weak, Odds: 2, MinOhms: 1, MaxOhms: 100,
			What: "the wire to the insulated rail makes poor contact",
			Look: "clean the rail under the clip, and tighten it"},
		{Part: PartLoad, Mode: Bridged, Odds: 1, MinOhms: 0.01, MaxOhms: 1,
			What: "the accessory is shorted inside, or its two wires touch",
			Look: "take its wires off and read again; a cold bulb reads far below what it takes when lit, so compare " +
				"with a good one"},
		{Part: PartRail, Mode: Bridged, Odds: 1, MinOhms: 0.002, MaxOhms: 1,
			What: "something joins the insulated rail to the other outer rail: a tie, a screw, a plate, a wheel set " +
				"left there",
			Look: "look under the piece for a tie, a screw or a plate that touches both outer rails, and over it for " +
				"stray metal"},
		{Part: PartCommon, Mode: Open, Odds: 1, What: "the wire between the commons of the two supplies is off",
			Look: "pull at both ends of the wire that joins the common posts"},
		{Part: PartCommon, Mode: Weak, Odds: 1, MinOhms: 0.05, MaxOhms: 5,
			What: "the wire between the commons of the two supplies makes poor contact",
			Look: "tighten both ends of the wire that joins the common posts"},
		{Part: PartSupply, Mode: Swapped, Odds: 1,
			What: "the plug of this supply is the other way round: the two supplies are out of phase",
			Look: "both plugs out, touch no pins: then turn its plug round, read again, and mark the plug; one that " +
				"fits one way only has its two leads to the track changed instead"},
	}
}
