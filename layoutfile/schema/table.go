package schema

// Limits of a file. Every one is stated in the answer that it causes.
const (
	MaxBytes  = 1 << 20
	MaxPieces = 10000
	MaxRepeat = 1000 // of one text of a run's pieces
	MaxRuns   = 500
	MaxBlocks = 5000 // of any one kind but run
	MaxName   = 32   // characters of a run's or a piece's name; of other names twice as many
	MaxText   = 2000 // bytes
)

// File is what stands at the top of a file. Its blocks are in the order in
// which a program writes them.
var File = &Block{
	Attrs: []Attr{
		{Name: "name", Needed: true, Shown: `"Our club layout"`},
		{Name: "about", Shown: `"what there is to say about it"`, Help: "may be left out"},
		{Name: "units", Kind: Word, Words: []string{"in", "mm"}, Needed: true, Shown: `"in"`,
			Help: "lengths without a unit"},
		{Name: "construction", Shown: `"metal-tie"`, Help: "how the track is made; a run may name another"},
	},
	Blocks: []*Block{construction, stock, run, supply, bus, strip, toggle, feeder, terminal, insulated, block,
		accessory, insulatedRail,
		train, hidden, module, landmark, note, history, flaw, counted},
}

var (
	aName  = []string{"a name"}
	aPiece = []string{"a piece"}
	wire   = Attr{Name: "wire", Kind: Wire, Needed: true, Shown: `"16 AWG"`, Help: `or "0.75 mm2"`}
	length = Attr{Name: "length", Kind: Length, Needed: true, Lo: 1, Hi: 1e6, Shown: `"6 ft"`, Help: "one way"}
	fuse   = Attr{Name: "fuse", Kind: Number, Lo: 0.05, Hi: 100, Unit: "amperes", Shown: "5",
		Help: "amperes, in its hot wire; may be left out"}
	hot     = Attr{Name: "hot", Kind: Rail, Shown: `"center"`, Help: "hot and common may be left out:"}
	common  = Attr{Name: "common", Kind: Rail, Shown: `"right"`, Help: "then as the construction has them"}
	from    = Attr{Name: "from", Kind: Piece, Needed: true, Shown: `"main 20"`}
	to      = Attr{Name: "to", Kind: Piece, Needed: true, Shown: `"main 26"`}
	minutes = Attr{Name: "minutes", Kind: Number, Hi: 1000, Unit: "minutes", Shown: "6", Help: "more, for every touch"}
)

func needed(a Attr) Attr { a.Needed = true; return a }

func optional(a Attr) Attr { a.Needed = false; return a }

func shown(a Attr, value, help string) Attr { a.Shown, a.Help = value, help; return a }

// hangs is the ways to say what a pair of wires hangs on: one of the first
// three is needed, and a terminal with a bus.
func hangs(toggles bool) []Attr {
	out := []Attr{
		{Name: "supply", Kind: Name, Of: []string{"supply"}, Shown: `"T1"`, Help: "or bus and terminal, or toggle"},
		{Name: "bus", Kind: Name, Of: []string{"bus", "strip"}, Shown: `"B1"`},
		{Name: "terminal", Kind: Whole, Lo: 1, Hi: 100, Shown: "2", Help: "1 is the nearest to the supply"},
	}
	if !toggles {
		out[0].Help = "or bus and terminal"
		return out
	}
	return append(out, Attr{Name: "toggle", Kind: Name, Of: []string{"toggle"}, Shown: `"S1"`})
}

func attrs(lists ...[]Attr) []Attr {
	var out []Attr
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

var terminals = Attr{Name: "terminals", Kind: Whole, Needed: true, Lo: 1, Hi: 100, Shown: "4",
	Help: "1 is the nearest to the supply"}

var (
	run = &Block{Name: "run", Labels: aName, Help: "a row of pieces",
		Example: `run "main" { pieces = ["4 x straight 10"] }`, Attrs: []Attr{
			{Name: "construction", Shown: `"metal-tie"`, Help: "left out: that of the layout"},
			{Name: "closes", Kind: Flag, Shown: "true", Help: "the last piece meets the first (3 pieces at least)"},
			{Name: "from", Kind: End, Shown: `"W1 diverging"`, Help: "begins at a free end of another piece"},
			{Name: "to", Kind: End, Shown: `"W2 diverging"`, Help: "ends at one; or leave to out"},
			{Name: "pieces", Kind: Pieces, Shown: `["4 x straight 10"]`},
		}}
	stock = &Block{Name: "stock", Labels: aName, Help: "a piece that is written by a name of its own",
		Example: `stock "wide" { piece = "curve diameter 72 angle 22.5" }`,
		Attrs:   []Attr{{Name: "piece", Kind: Size, Needed: true, Shown: `"curve diameter 72 angle 22.5"`}}}
	supply = &Block{Name: "supply", Labels: aName, Under: true, Own: true, Letter: "T", Help: "what feeds the track",
		Example: `supply "T1" { ... }`, Attrs: []Attr{
			{Name: "current", Kind: Word, Words: []string{"ac", "dc"}, Needed: true, Shown: `"ac"`},
			{Name: "volts", Kind: Number, Needed: true, Lo: 0.5, Hi: 60, Unit: "volts (more has no place on a toy)",
				Shown: "18", Help: "at its posts"},
			{Name: "breaker", Kind: Number, Needed: true, Lo: 0.1, Hi: 100, Unit: "amperes", Shown: "10",
				Help: "amperes at which it trips"},
			{Name: "phase", Kind: Word, Words: []string{"in phase", "reversed"}, Shown: `"in phase"`,
				Help: "against the first supply; left out: not checked"},
			{Name: "common", Kind: Name, Of: []string{"supply"}, Shown: `"T1"`,
				Help: "their common posts are joined by a wire"},
		}}
	bus = &Block{Name: "bus", Labels: aName, Under: true, Own: true, Letter: "B",
		Help: "a pair of wires with terminals evenly along it", Example: `bus "B1" { ... }`,
		Attrs: attrs(hangs(true), []Attr{terminals, shown(wire, `"14 AWG"`, ""),
			shown(length, `"20 ft"`, "one way, to the last terminal"), fuse,
			{Name: "ring", Kind: Length, Lo: 1, Hi: 1e6, Shown: `"8 ft"`,
				Help: "closes it: the pair from the last terminal back to the supply"}})}
	strip = &Block{Name: "strip", Labels: aName, Under: true, Own: true, Letter: "P",
		Help: "the same, all terminals side by side at its end", Example: `strip "P1" { ... }`,
		Attrs: attrs(hangs(true), []Attr{shown(terminals, "6", ""), wire, shown(length, `"2 ft"`, "one way"), fuse})}
	toggle = &Block{Name: "toggle", Labels: aName, Under: true, Own: true, Letter: "S",
		Help: "a switch between a supply and what hangs on it", Example: `toggle "S1" { ... }`,
		Attrs: attrs(hangs(false), []Attr{
			{Name: "other", Kind: Name, Of: []string{"supply"}, Shown: `"T2"`,
				Help: "second position: what hangs on it runs from that supply"},
			{Name: "switches", Kind: Word, Words: []string{"hot", "common", "both", "reverse"}, Shown: `"hot"`,
				Help: "which wire; reverse crosses the two"},
			{Name: "middle", Kind: Word, Words: []string{"off"}, Shown: `"off"`,
				Help: "three positions, off in the middle"},
			{Name: "usually", Kind: Word, Words: []string{"on", "off", "middle"}, Shown: `"on"`,
				Help: "the first position; off is the second"},
		})}
	feeder = &Block{Name: "feeder", Labels: aName, Under: true, Own: true, Letter: "F",
		Help: "a pair of wires to the track", Example: `feeder "F1" { ... }`,
		Attrs: attrs([]Attr{{Name: "at", Kind: Spot, Needed: true, Shown: `"main 3/4"`}}, hangs(true),
			[]Attr{wire, length, fuse, hot, common})}
	terminal = &Block{Name: "terminal", Labels: aName, Own: true, Letter: "A",
		Help: "thin wires from the track to a labelled block, to read at", Example: `terminal "A1" { ... }`,
		Attrs: []Attr{{Name: "at", Kind: Spot, Needed: true, Shown: `"main 15/16"`},
			shown(wire, `"22 AWG"`, "it carries no load: thin will do"), shown(length, `"9 ft"`, "one way"),
			{Name: "wires", Kind: Word, Words: []string{"both", "hot", "common"}, Shown: `"both"`,
				Help: "left out: both"}, hot, common}}
	insulated = &Block{Name: "insulated", Labels: []string{"a joint"}, At: Joint, Help: "no contact here, on purpose",
		Example: `insulated "main 12/13" { rails = ["center"] }`,
		Attrs:   []Attr{{Name: "rails", Kind: Rails, Needed: true, Shown: `["center"]`}}}
	block = &Block{Name: "block", Labels: aName, Under: true, Help: "a stretch that is switched on its own",
		Example: `block "yard" { ... }`, Attrs: []Attr{
			shown(from, `"main 3"`, ""), shown(to, `"main 9"`, ""), {Name: "toggle", Kind: Name, Of: []string{"toggle"},
				Shown: `"S1"`}}}
	accessory = &Block{Name: "accessory", Labels: aName, Under: true, Own: true, Help: "a lamp, a signal, a gate",
		Example: `accessory "gate" { ... }`, Attrs: attrs([]Attr{
			{Name: "kind", Kind: Word, Words: []string{"lamp", "bumper", "signal", "relay", "motor", "led"},
				Needed: true,
				Shown:  `"lamp"`, Help: "or bumper, signal, relay, motor, led"},
			{Name: "volts", Kind: Number, Needed: true, Lo: 0.5, Hi: 60, Unit: "volts", Shown: "14"},
			{Name: "amps", Kind: Number, Needed: true, Lo: 0.001, Hi: 20, Unit: "amperes", Shown: "0.2",
				Help: "at those volts"},
			{Name: "cold", Kind: Number, Lo: 0.01, Hi: 1e7, Unit: "ohm, as a meter shows it", Shown: "6",
				Help: "ohm that a meter finds; left out: by its kind"},
			{Name: "at", Kind: Spot, Shown: `"main 12"`, Help: "across hot and common of the track there,"},
			shown(hot, `"center"`, "or these two rails"), shown(common, `"right"`, "")}, hangs(true),
			[]Attr{shown(fuse, "2", fuse.Help)})}
	insulatedRail = &Block{Name: "insulated_rail", Labels: aName, Under: true,
		Help:    "wheels on it join it to the other outer rail and work the accessory",
		Example: `insulated_rail "crossing" { ... }`, Attrs: []Attr{
			{Name: "rail", Kind: Rail, Needed: true, Shown: `"left"`},
			{Name: "from", Kind: Joint, Needed: true, Shown: `"main 12/13"`,
				Help: "the two joints, in the order of the run"},
			{Name: "to", Kind: Joint, Needed: true, Shown: `"main 16/17"`},
			{Name: "tap", Kind: Spot, Needed: true, Shown: `"main 14"`,
				Help: "where the accessory's other wire meets the rail"},
			{Name: "works", Kind: Name, Of: []string{"accessory"}, Needed: true, Shown: `"gate"`},
			optional(shown(wire, `"18 AWG"`, "wire and length may be left out")), optional(shown(length, `"4 ft"`, "")),
		}}
	train = &Block{Name: "train", Labels: aName, Help: "what runs on the layout", Example: `train "freight" { ... }`,
		Attrs: []Attr{
			{Name: "axles", Kind: Length, Lo: 1, Hi: 5000, Shown: `"8 in"`,
				Help: "the longest way from one axle to the next, from car to car too"},
			{Name: "pickups", Kind: Length, Lo: 1, Hi: 5000, Shown: `"5 in"`,
				Help: "from the first to the last pickup of the engine"},
			{Name: "amps", Kind: Number, Lo: 0.01, Hi: 30, Unit: "amperes", Shown: "3"},
		}}
	hidden = &Block{Name: "hidden", Labels: aName, Help: "hard to reach: more minutes for every touch",
		Example: `hidden "tunnel" { ... }`,
		Attrs:   []Attr{from, to, needed(minutes)}}
	module = &Block{Name: "module", Labels: aName, Help: "a board of a portable layout, in the order of setting up",
		Example: `module "bridge" { ... }`, Attrs: []Attr{from, to,
			{Name: "board", Kind: Name, Of: []string{"module"}, Shown: `"bridge"`,
				Help: "a further stretch of a module that stands before it"}}}
	landmark = &Block{Name: "landmark", Labels: aName, Help: "what can be seen there",
		Example: `landmark "tunnel mouth" { at = "main 20/21" }`,
		Attrs:   []Attr{{Name: "at", Kind: Spot, Needed: true, Shown: `"main 20/21"`}}}
	note = &Block{Name: "note", Labels: aPiece, At: Piece, Help: "what is known of a piece",
		Example: `note "main 7" { text = "new pins" }`,
		Attrs:   []Attr{{Name: "text", Needed: true, Shown: `"new pins"`}}}
	history = &Block{Name: "history", Labels: aPiece, At: Piece,
		Help: "this piece fails less (or more) often than others", Example: `history "main 9" { odds = 0.2 }`,
		Attrs: []Attr{
			{Name: "odds", Kind: Number, Needed: true, Lo: 0.001, Hi: 1000, Unit: "(1 changes nothing, 0.2 is a fifth)",
				Shown: "0.2"},
			{Name: "why", Shown: `"bench check passed"`}}}
)
