package layoutfile

import (
	"fmt"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"

	"fishplate/diagnose/track"
)

var unitChoices = []string{"in", "mm"}

var fileSpec = &spec{
	attrs:  []string{"name", "about", "units", "construction"},
	blocks: []string{"run", "supply", "bus", "strip", "toggle", "feeder", "block", "insulated", "insulated_rail", "accessory", "train", "hidden", "landmark", "note", "history", "flaw", "stock", "construction"},
	examples: map[string]string{"name": `name = "Our club layout"`, "units": `units = "in" (or "mm")`, "construction": `construction = "metal-tie"`,
		"about": `about = "what there is to say about it"`},
}

var blockSpecs = map[string]*spec{
	"run": {labels: []string{"a name"}, attrs: []string{"closes", "from", "to", "construction", "pieces"},
		examples: map[string]string{"pieces": `pieces = ["4 x straight 10"]`, "closes": "closes = true", "from": `from = "W1 diverging"`, "to": `to = "W2 diverging"`,
			"construction": `construction = "metal-tie"`},
		example: `run "main" { pieces = ["4 x straight 10"] }`},
	"supply": {labels: []string{"a name"}, attrs: []string{"current", "volts", "breaker", "phase", "common"},
		examples: map[string]string{"current": `current = "ac" (or "dc")`, "volts": "volts = 18", "breaker": "breaker = 10", "phase": `phase = "in phase"`, "common": `common = "T1"`},
		example:  `supply "T1" { ... }`},
	"feeder": {labels: []string{"a name"}, attrs: []string{"at", "supply", "bus", "terminal", "toggle", "wire", "length", "hot", "common", "fuse"},
		examples: hangs(map[string]string{"at": `at = "main 3/4"`, "wire": `wire = "16 AWG"`, "length": `length = "6 ft"`, "fuse": "fuse = 5",
			"hot": `hot = "center"`, "common": `common = "right"`}),
		example: `feeder "F1" { ... }`},
	"bus":   busSpec("bus"),
	"strip": busSpec("strip"),
	"toggle": {labels: []string{"a name"}, attrs: []string{"supply", "bus", "terminal", "other", "switches", "middle", "usually"},
		examples: hangs(map[string]string{"other": `other = "T2"`, "switches": `switches = "hot" (or "common", "both", "reverse")`, "middle": `middle = "off"`, "usually": `usually = "on" (or "off", "middle")`}),
		example:  `toggle "S1" { ... }`},
	"block": {labels: []string{"a name"}, attrs: []string{"from", "to", "toggle"},
		examples: map[string]string{"from": `from = "main 3"`, "to": `to = "main 9"`, "toggle": `toggle = "S1"`},
		example:  `block "yard" { ... }`},
	"accessory": {labels: []string{"a name"}, attrs: []string{"kind", "volts", "amps", "cold", "at", "hot", "common", "supply", "bus", "terminal", "toggle", "fuse"},
		examples: hangs(map[string]string{"kind": `kind = "lamp"`, "volts": "volts = 14", "amps": "amps = 0.2", "cold": "cold = 6", "fuse": "fuse = 2", "at": `at = "main 12"`,
			"hot": `hot = "center"`, "common": `common = "right"`}),
		example: `accessory "gate" { ... }`},
	"insulated_rail": {labels: []string{"a name"}, attrs: []string{"rail", "from", "to", "tap", "works", "wire", "length"},
		examples: map[string]string{"rail": `rail = "left"`, "from": `from = "main 12/13"`, "to": `to = "main 16/17"`, "tap": `tap = "main 14"`,
			"works": `works = "gate"`, "wire": `wire = "18 AWG"`, "length": `length = "4 ft"`},
		example: `insulated_rail "crossing" { ... }`},
	"train": {labels: []string{"a name"}, attrs: []string{"axles", "pickups", "amps"},
		examples: map[string]string{"axles": `axles = "8 in"`, "pickups": `pickups = "5 in"`, "amps": "amps = 3"},
		example:  `train "freight" { ... }`},
	"insulated": {labels: []string{"a joint"}, attrs: []string{"rails"}, examples: map[string]string{"rails": `rails = ["center"]`},
		example: `insulated "main 12/13" { rails = ["center"] }`},
	"hidden": {labels: []string{"a name"}, attrs: []string{"from", "to", "minutes"},
		examples: map[string]string{"from": `from = "main 20"`, "to": `to = "main 26"`, "minutes": "minutes = 6"},
		example:  `hidden "tunnel" { ... }`},
	"landmark": {labels: []string{"a name"}, attrs: []string{"at"}, examples: map[string]string{"at": `at = "main 20/21"`},
		example: `landmark "tunnel mouth" { at = "main 20/21" }`},
	"note": {labels: []string{"a piece"}, attrs: []string{"text"}, examples: map[string]string{"text": `text = "new pins"`},
		example: `note "main 7" { text = "new pins" }`},
	"history": {labels: []string{"a piece"}, attrs: []string{"odds", "why"}, examples: map[string]string{"odds": "odds = 0.2", "why": `why = "bench check passed"`},
		example: `history "main 9" { odds = 0.2 }`},
	"flaw": flawSpec,
	"stock": {labels: []string{"a name"}, attrs: []string{"piece"}, examples: map[string]string{"piece": `piece = "curve diameter 31 angle 45"`},
		example: `stock "C31" { piece = "curve diameter 31 angle 45" }`},
}

// hangs adds the ways to say what a pair of wires hangs on.
func hangs(examples map[string]string) map[string]string {
	for k, v := range map[string]string{"supply": `supply = "T1"`, "bus": `bus = "B1"`, "terminal": "terminal = 2", "toggle": `toggle = "S1"`} {
		examples[k] = v
	}
	return examples
}

func busSpec(kind string) *spec {
	s := &spec{labels: []string{"a name"}, attrs: []string{"supply", "bus", "terminal", "toggle", "terminals", "wire", "length", "fuse"},
		examples: hangs(map[string]string{"terminals": "terminals = 4", "wire": `wire = "14 AWG"`, "length": `length = "20 ft"`, "fuse": "fuse = 5"}),
		example:  kind + ` "B1" { ... }`}
	if kind == "bus" {
		s.attrs = append(s.attrs, "ring")
		s.examples["ring"] = `ring = "8 ft"`
	}
	return s
}

// run is a run block as read, before its pieces are joined.
type run struct {
	name         string
	at           hcl.Range // of the name
	b            *block
	construction *track.Construction
	closes       bool
	from, to     string
	items        []item
	broken       bool // something in it could not be read: do not trust its count
	first        int  // index of its first piece, in layout.Pieces
	count        int  // pieces it owns
	steps        []step
	fromEnd      track.EndRef // piece -1 when there is none
	toEnd        track.EndRef
}

// layoutReader reads the whole file into a layout.
type layoutReader struct {
	*reader
	top          *block
	unit         float64
	set          *constructionSet
	construction *track.Construction // of runs that name none; nil when unknown
	noDefault    bool                // the file names none
	stocks       map[string]stock
	runs         []*run
	runByName    map[string]*run
	names        map[string]named // runs and pieces, by fold
	pieceByName  map[string]int   // given names; -1 when the piece could not be read
	itemOf       []*item          // by piece
	crossLength  map[string]float64
	kinds        map[string][]*block
	laid         bool // every piece is laid
	joining      bool // from and to are being looked up
	built        bool // every joint is made
	l            *track.Layout
}

type named struct {
	name string
	at   hcl.Range
}

func (r *reader) readLayout(body *hclsyntax.Body) *layoutReader {
	start := hcl.Range{Start: hcl.InitialPos, End: hcl.InitialPos}
	x := &layoutReader{reader: r, top: &block{r: r, body: body, head: start, spec: fileSpec},
		stocks: map[string]stock{}, runByName: map[string]*run{}, names: map[string]named{}, pieceByName: map[string]int{},
		kinds: map[string][]*block{}, l: &track.Layout{}}
	x.top.strangers()
	x.top.need("name", "units")
	x.l.Name, x.l.About = x.top.text("name"), x.top.text("about")
	if x.top.has("name") && x.top.emptyText("name") {
		r.fail(x.top.rangeOf("name"), "the layout's name is empty", "give it a name that you know it by")
	}
	u := x.top.choice("units", unitChoices)
	x.l.Metric = u == "mm"
	x.unit = mmPer[orElse(u, "in")]
	x.sortBlocks(body)
	x.readConstructions()
	x.readStocks()
	x.readRuns()
	return x
}

// sortBlocks opens every block and keeps it with those of its kind.
func (x *layoutReader) sortBlocks(body *hclsyntax.Body) {
	for _, b := range body.Blocks {
		s := blockSpecs[b.Type]
		if b.Type == "construction" {
			s = constructionSpec
		}
		if s == nil {
			continue // a stranger, answered already
		}
		limit := maxBlocks
		if b.Type == "run" {
			limit = maxRuns
		}
		if len(x.kinds[b.Type]) >= limit {
			x.fail(b.TypeRange, fmt.Sprintf("more than %d blocks %s; that is the limit", limit, b.Type), "leave some out")
			return
		}
		if o := x.open(b, s); o != nil {
			x.kinds[b.Type] = append(x.kinds[b.Type], o)
		} else if b.Type == "run" {
			x.runs = append(x.runs, &run{broken: true})
		}
	}
}

func (x *layoutReader) readConstructions() {
	x.set = newConstructionSet(Constructions())
	for _, b := range x.kinds["construction"] {
		x.set.read(b)
	}
	x.noDefault = !x.top.has("construction")
	x.construction = x.findConstruction(x.top)
}

func (x *layoutReader) findConstruction(b *block) *track.Construction {
	if !b.has("construction") {
		return nil
	}
	name := b.text("construction")
	if name == "" && !b.emptyText("construction") {
		return nil
	}
	c := x.set.find(name)
	if c == nil {
		x.fail(b.rangeOf("construction"), fmt.Sprintf("no construction is named %q", clip(name)), suggest(name, x.set.names()))
	}
	return c
}

func (x *layoutReader) readStocks() {
	for _, b := range x.kinds["stock"] {
		name := b.label[0]
		switch {
		case !isName(name) || contains(reserved, name):
			x.fail(b.at[0], fmt.Sprintf("%q cannot be the name of a stock piece", clip(name)), "take a letter, then letters, digits, - or _, like C31")
			continue
		case x.stocks[name].at.Start.Line > 0:
			x.fail(b.at[0], fmt.Sprintf("a second stock piece %q", name), "give it another name", x.also(x.stocks[name].at, "the first one is here"))
			continue
		}
		s := stock{at: b.at[0]}
		if b.need("piece") && b.text("piece") != "" {
			e := entry{at: b.rangeOf("piece")}
			if p := x.newPhrase(e.at, x.unit); p != nil {
				s.item = item{count: 1, at: e.at}
				p.kind(&s.item, nil)
				for !p.done() && !p.bad {
					p.argument(&s.item, nil)
				}
				if s.item.name != "" || s.item.again != "" || s.item.trailing || s.item.facing || s.item.leaves {
					p.fail(e.at, "a stock piece is a kind and its sizes only", `write it like "curve diameter 31 angle 45"`)
				}
				s.item.count = 1
			}
		}
		x.stocks[name] = s
	}
}

func (x *layoutReader) readRuns() {
	if len(x.kinds["run"]) == 0 && len(x.runs) == 0 {
		x.fail(x.top.head, "the layout has no run of track", "add "+blockSpecs["run"].example)
	}
	asked := false
	for _, b := range x.kinds["run"] {
		n := &run{name: b.label[0], at: b.at[0], b: b, closes: b.flag("closes"), from: b.text("from"), to: b.text("to")}
		n.construction = x.findConstruction(b)
		if n.construction == nil {
			n.construction = x.construction
			if x.noDefault && !b.has("construction") && !asked {
				asked = true
				x.fail(b.head, fmt.Sprintf("the run %q has no construction", clip(n.name)), fmt.Sprintf("add construction = \"metal-tie\" at the top of the file or in the run; known are %s", listed(x.set.names(), "and")))
			}
		}
		x.runs = append(x.runs, n)
		if !isName(n.name) || contains(reserved, n.name) {
			x.fail(n.at, fmt.Sprintf("%q cannot name a run", clip(n.name)), fmt.Sprintf("a name is a letter, then letters, digits, - or _ (up to %d), and no word of this format", maxNameLength))
		} else if x.claim(n.name, n.at) {
			x.runByName[n.name] = n
		}
		x.readPieces(n)
	}
}

// claim takes a name for a run or a piece; names that look or sound alike
// would send someone to the wrong place.
func (x *layoutReader) claim(name string, at hcl.Range) bool {
	f := folded(name)
	first, taken := x.names[f]
	if !taken {
		x.names[f] = named{name, at}
		return true
	}
	if first.name == name {
		x.fail(at, fmt.Sprintf("the name %q is taken", name), "runs and pieces need names of their own", x.also(first.at, fmt.Sprintf("the first %q is here", name)))
	} else {
		x.fail(at, fmt.Sprintf("the name %q is too easily taken for %q", name, first.name), "choose a name that cannot be misread", x.also(first.at, fmt.Sprintf("%q is here", first.name)))
	}
	return false
}

func (x *layoutReader) readPieces(n *run) {
	b := n.b
	if n.closes && (n.from != "" || n.to != "") {
		which := "from"
		if n.from == "" {
			which = "to"
		}
		x.fail(b.rangeOf(which), fmt.Sprintf("a run that closes cannot have %s", which), "take closes = true out, or "+which,
			x.also(b.rangeOf("closes"), "closes is set here"))
		n.broken = true
	}
	if !b.has("pieces") && n.from != "" && n.to != "" {
		return
	}
	if !b.need("pieces") {
		n.broken = true
		return
	}
	list, ok := b.texts("pieces")
	n.broken = n.broken || !ok
	for _, e := range list {
		it, good := x.readItem(e, x.unit, x.stocks)
		n.broken = n.broken || !good
		if good || it.name != "" {
			n.items = append(n.items, it)
		}
		if it.again == "" {
			n.count += it.count
		}
		if it.name != "" && x.claim(it.name, it.nameAt) {
			x.pieceByName[it.name] = -1
		}
	}
	if ok && len(list) == 0 && (n.from == "" || n.to == "") {
		x.fail(b.rangeOf("pieces"), fmt.Sprintf("the run %q has no pieces", clip(n.name)), "only a run with both from and to may be without")
		n.broken = true
	}
	x.bumpers(n)
}

// bumpers answers bumpers that are not at a free end.
func (x *layoutReader) bumpers(n *run) {
	for i := range n.items {
		it := &n.items[i]
		if it.kind != track.Bumper {
			continue
		}
		atFirst, atLast := i == 0 && len(n.items) > 1, i == len(n.items)-1
		switch {
		case n.closes:
			x.fail(it.kindAt, "a run that closes has no end for a bumper", "take it out, or closes = true", x.also(n.b.rangeOf("closes"), "closes is set here"))
		case !atFirst && !atLast:
			x.fail(it.kindAt, "a bumper ends the run, and more pieces follow", "put it last")
		case atFirst && n.from != "":
			x.fail(it.kindAt, "this run begins at another piece, so a bumper cannot come first", "put it last", x.also(n.b.rangeOf("from"), "from is here"))
		case atLast && n.to != "":
			x.fail(it.kindAt, "this run goes on to another piece, so a bumper cannot end it", "take the bumper out, or to", x.also(n.b.rangeOf("to"), "to is here"))
		default:
			continue
		}
		n.broken = true
	}
}

func (x *layoutReader) knownPlaces() []string {
	var out []string
	for _, n := range x.runs {
		if n.name != "" {
			out = append(out, n.name)
		}
		for i := range n.items {
			if n.items[i].name != "" {
				out = append(out, n.items[i].name)
			}
		}
	}
	return out
}

// anyBroken says whether some run could not be read whole, so that a name may
// be missing only for that.
func (x *layoutReader) anyBroken() bool {
	for _, n := range x.runs {
		if n.broken {
			return true
		}
	}
	return false
}
