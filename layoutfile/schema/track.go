package schema

// The blocks that say how track is made.
var construction = &Block{
	Name: "construction", Labels: aName, Help: "how a kind of track is made",
	Example: `construction "my-track" { like = "metal-tie" }`,
	Attrs: []Attr{
		{Name: "like", Shown: `"metal-tie"`, Help: "everything else as there; or say it all"},
		{Name: "about", Shown: `"pressed rail"`},
		{Name: "rails", Kind: Rails, Shown: `["left", "center", "right"]`},
		{Name: "hot", Kind: Rail, Shown: `"center"`},
		{Name: "common", Kind: Rail, Shown: `"right"`},
		{Name: "tied", Kind: Texts, Shown: `["left + right"]`, Help: "rails joined inside every piece"},
		{Name: "source", Shown: `"measured by ..."`},
	},
	Blocks: []*Block{
		{Name: "rail", Example: "rail { ohms_per_meter = 0.0123 }", Attrs: []Attr{
			ohms("ohms_per_meter", 10, "ohm per meter", "0.02", "one rail"),
			logSD("spread", "0.1", "log-sd piece to piece"),
			logSD("level", "0.5", "log-sd of all rails together")}},
		{Name: "joint", Example: "joint { ohms = 0.0015 }", Attrs: []Attr{ohms("ohms", 10, "ohm", "0.01", ""),
			logSD("spread", "0.8", ""), logSD("level", "0.7", "")}},
		{Name: "clip", Help: "feeder to rail", Example: "clip { ohms = 0.003 }",
			Attrs: []Attr{ohms("ohms", 10, "ohm", "0.003", ""), logSD("spread", "0.5", "")}},
		{Name: "lift", Help: "taking a piece out", Example: "lift { minutes = 3 }",
			Attrs: []Attr{shown(minutes, "4", ""),
				{Name: "joint_minutes", Kind: Number, Hi: 1000, Unit: "minutes", Shown: "2"},
				{Name: "text", Shown: `"bend no pins"`}}},
		flaw, inside("turnout"), inside("three_way"), inside("crossing"), inside("slip"), inside("single_slip"),
	},
}

// flaw is a way to fail: of a construction's parts inside one, of the wiring
// at the top of a file.
var flaw = &Block{Name: "flaw", Labels: []string{"the part", "the fault"}, Help: "how often a part fails in a way",
	Example: `flaw "joint" "weak" { ... }`, Attrs: []Attr{
		{Name: "rails", Kind: Rails, Shown: `["center", "left"]`},
		{Name: "odds", Kind: Number, Needed: true, Hi: 1e6, Shown: "2", Help: "0: never"},
		ohms("min", 1e6, "ohm", "0.05", ""),
		ohms("max", 1e6, "ohm", "5", ""),
		{Name: "what", Shown: `"the pin is loose"`},
		{Name: "look", Shown: `"squeeze the rail on the pin"`},
		{Name: "solder", Kind: Flag, Shown: "true", Help: "it may want a soldering iron: the caution is said before"},
	}}

// counted is how often hunts found a part at fault, against what was assumed.
var counted = &Block{Name: "counted", Labels: []string{"the part", "the fault"},
	Help: "hunts found it more (or less) often than assumed", Example: `counted "joint" "open" { times = 1.4 }`,
	Attrs: []Attr{
		{Name: "times", Kind: Number, Needed: true, Lo: 0.01, Hi: 100, Unit: "(1 changes nothing, 2 is twice the odds)",
			Shown: "1.4"},
		{Name: "why", Shown: `"7 of 12 hunts"`},
	}}

// inside is the conductors of a piece that has points or two ways.
func inside(kind string) *Block {
	return &Block{Name: kind, Help: "its conductors, seen from the points, left-hand form",
		Example: "turnout { conductors = [...] }", Attrs: []Attr{
			{Name: "source", Shown: `"measured by ..."`},
			{Name: "dead_mm", Kind: Number, Hi: 500, Unit: "millimeters", Shown: "40",
				Help: "the longest stretch inside without current (a property, no fault)"},
			{Name: "conductors", Kind: Texts, Needed: true, Shown: `["points left to through left by rail"]`},
		}}
}

func ohms(name string, most float64, unit, value, help string) Attr {
	return Attr{Name: name, Kind: Number, Lo: 1e-6, Hi: most, Unit: unit, Shown: value, Help: help}
}

func logSD(name, value, help string) Attr {
	return Attr{Name: name, Kind: Number, Hi: 3, Shown: value, Help: help}
}

// Part is a part that can fail, and the ways in which it can.
type Part struct {
	Name  string
	Modes []string
}

// TrackParts are the parts that a construction has; WiringParts lie under the
// table.
var (
	TrackParts = []Part{{"piece", []string{"open", "weak", "bridged"}},
		{"turnout", []string{"open", "weak", "bridged"}},
		{"crossing", []string{"open", "weak", "bridged"}}, {"joint", []string{"open", "weak"}},
		{"gap", []string{"bridged"}},
		{"feeder", []string{"open", "weak", "bridged", "swapped"}}, {"jumper", []string{"open", "weak"}}}
	WiringParts = []Part{{"bus", []string{"open", "weak", "bridged", "swapped"}},
		{"toggle", []string{"open", "weak", "bridged"}}, {"lead", []string{"open", "weak"}},
		{"tap", []string{"open", "weak"}}, {"load", []string{"bridged"}}, {"rail", []string{"bridged"}},
		{"common", []string{"open", "weak"}}, {"supply", []string{"swapped"}}}
)
