package layoutfile

import (
	"fmt"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// run is a run block as read, before its pieces are joined.
type run struct {
	name         string
	at           sheet.Span // of the name
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

// layoutReader is a file on its way into a layout, and what its names stand for.
// What is read stands in types of their own over it, in this order: runReader,
// layer, wireReader, thingReader.
type layoutReader struct {
	*reader
	top          *block
	unit         float64
	set          *constructionSet
	construction *track.Construction // of runs that name none; nil when unknown
	noDefault    bool                // the file names none
	stocks       sheet.Stock
	stockAt      map[string]sheet.Span
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
	at   sheet.Span
}

func (r *reader) readLayout(s *sheet.Sheet) *layoutReader {
	x := &layoutReader{reader: r, top: &block{Block: &s.Block, r: r, head: s.Head, spec: schema.File},
		stocks: sheet.Stock{}, stockAt: map[string]sheet.Span{}, runByName: map[string]*run{},
		names: map[string]named{}, pieceByName: map[string]int{},
		kinds: map[string][]*block{}, l: &track.Layout{}}
	x.top.strangers()
	x.top.needed()
	x.l.Name, x.l.About = x.top.text("name"), x.top.text("about")
	if x.top.has("name") && x.top.emptyText("name") {
		r.fail(x.top.rangeOf("name"), "the layout's name is empty", "give it a name that you know it by")
	}
	u := x.top.choice("units")
	x.l.Metric = u == "mm"
	x.unit = sheet.UnitMM(x.l.Metric)
	runReader{x}.sortBlocks(s)
	runReader{x}.readConstructions()
	runReader{x}.readStocks()
	runReader{x}.readRuns()
	return x
}

// runReader reads constructions, stocks and runs: which pieces there are.
type runReader struct{ *layoutReader }

// sortBlocks opens every block and keeps it with those of its kind.
func (x runReader) sortBlocks(s *sheet.Sheet) {
	for _, b := range s.Blocks {
		s := schema.Find(b.Kind)
		if s == nil {
			continue // a stranger, answered already
		}
		limit := schema.MaxBlocks
		if b.Kind == "run" {
			limit = schema.MaxRuns
		}
		if len(x.kinds[b.Kind]) >= limit {
			x.fail(b.KindAt, fmt.Sprintf("more than %d blocks %s; that is the limit", limit, b.Kind), "leave some out")
			return
		}
		if o := x.open(b, s); o != nil {
			x.kinds[b.Kind] = append(x.kinds[b.Kind], o)
		} else if b.Kind == "run" {
			x.runs = append(x.runs, &run{broken: true})
		}
	}
}

func (x runReader) readConstructions() {
	x.set = newConstructionSet(Constructions())
	for _, b := range x.kinds["construction"] {
		x.set.read(b)
	}
	x.noDefault = !x.top.has("construction")
	x.construction = x.findConstruction(x.top)
}

func (x runReader) findConstruction(b *block) *track.Construction {
	if !b.has("construction") {
		return nil
	}
	name := b.text("construction")
	if name == "" && !b.emptyText("construction") {
		return nil
	}
	c := x.set.find(name)
	if c == nil {
		x.fail(b.rangeOf("construction"), fmt.Sprintf("no construction is named %q", sheet.Clip(name)),
			schema.Suggest(name, x.set.names()))
	}
	return c
}

func (x runReader) readStocks() {
	for _, b := range x.kinds["stock"] {
		name := b.label[0]
		first, twice := x.stockAt[name]
		switch {
		case !sheet.IsName(name) || sheet.Reserved(name):
			x.fail(b.at[0], fmt.Sprintf("%q cannot be the name of a stock piece", sheet.Clip(name)),
				"take a letter, then letters, digits, - or _, like wide")
			continue
		case twice:
			x.fail(b.at[0], fmt.Sprintf("a second stock piece %q", name), "give it another name",
				x.also(first, "the first one is here"))
			continue
		}
		x.stockAt[name] = b.at[0]
		x.stocks[name] = x.readStock(b)
	}
}

// readStock reads what a stock piece is; one without a kind when it cannot be
// read.
func (x runReader) readStock(b *block) sheet.Words {
	if !b.needed() || b.text("piece") == "" {
		return sheet.Words{}
	}
	v := &b.Attr("piece").Value
	if !x.plain(v) {
		return sheet.Words{}
	}
	w, slip := sheet.ReadStock(v.Text, x.unit)
	x.slip(v, slip)
	return w
}

func (x runReader) readRuns() {
	if len(x.kinds["run"]) == 0 && len(x.runs) == 0 {
		x.fail(x.top.head, "the layout has no run of track", "add "+schema.Find("run").Example)
	}
	asked := false
	for _, b := range x.kinds["run"] {
		n := &run{name: b.label[0], at: b.at[0], b: b, closes: b.flag("closes"), from: b.text("from"), to: b.text("to")}
		n.construction = x.findConstruction(b)
		if n.construction == nil {
			n.construction = x.construction
			if x.noDefault && !b.has("construction") && !asked {
				asked = true
				x.fail(b.head, fmt.Sprintf("the run %q has no construction", sheet.Clip(n.name)),
					fmt.Sprintf("add construction = \"metal-tie\" at the top of the file or in the run; known are %s",
						schema.Listed(x.set.names(), "and")))
			}
		}
		x.runs = append(x.runs, n)
		if !sheet.IsName(n.name) || sheet.Reserved(n.name) {
			x.fail(n.at, fmt.Sprintf("%q cannot name a run", sheet.Clip(n.name)),
				sheet.NameRule+", and no word of this format")
		} else if x.claim(n.name, n.at) {
			x.runByName[n.name] = n
		}
		x.readPieces(n)
	}
}

// claim takes a name for a run or a piece; names that look or sound alike
// would send someone to the wrong place.
func (x runReader) claim(name string, at sheet.Span) bool {
	f := sheet.NameKey(name)
	first, taken := x.names[f]
	if !taken {
		x.names[f] = named{name, at}
		return true
	}
	if first.name == name {
		x.fail(at, fmt.Sprintf("the name %q is taken", name), "runs and pieces need names of their own",
			x.also(first.at, fmt.Sprintf("the first %q is here", name)))
	} else {
		x.fail(at, fmt.Sprintf("the name %q is too easily taken for %q", name, first.name),
			"choose a name that cannot be misread", x.also(first.at, fmt.Sprintf("%q is here", first.name)))
	}
	return false
}

func (x runReader) readPieces(n *run) {
	b := n.b
	if n.closes && (n.from != "" || n.to != "") {
		which := "from"
		if n.from == "" {
			which = "to"
		}
		x.fail(b.rangeOf(which), fmt.Sprintf("a run that closes cannot have %s", which),
			"take closes = true out, or "+which,
			x.also(b.rangeOf("closes"), "closes is set here"))
		n.broken = true
	}
	if !hasPieces(b) && n.from != "" && n.to != "" {
		return
	}
	if !hasPieces(b) && !b.need("pieces") {
		n.broken = true
		return
	}
	ok := x.readItems(n)
	n.broken = n.broken || !ok
	if ok && len(n.items) == 0 && (n.from == "" || n.to == "") {
		x.fail(b.rangeOf("pieces"), fmt.Sprintf("the run %q has no pieces", sheet.Clip(n.name)),
			"only a run with both from and to may be without")
		n.broken = true
	}
	x.bumpers(n)
}

// bumpers answers bumpers that are not at a free end.
func (x runReader) bumpers(n *run) {
	for i := range n.items {
		it := &n.items[i]
		if it.Kind != track.Bumper {
			continue
		}
		atFirst, atLast := i == 0 && len(n.items) > 1, i == len(n.items)-1
		switch {
		case n.closes:
			x.fail(it.kindAt, "a run that closes has no end for a bumper", "take it out, or closes = true",
				x.also(n.b.rangeOf("closes"), "closes is set here"))
		case !atFirst && !atLast:
			x.fail(it.kindAt, "a bumper ends the run, and more pieces follow", "put it last")
		case atFirst && n.from != "":
			x.fail(it.kindAt, "this run begins at another piece, so a bumper cannot come first", "put it last",
				x.also(n.b.rangeOf("from"), "from is here"))
		case atLast && n.to != "":
			x.fail(it.kindAt, "this run goes on to another piece, so a bumper cannot end it",
				"take the bumper out, or to", x.also(n.b.rangeOf("to"), "to is here"))
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
			if n.items[i].Name != "" {
				out = append(out, n.items[i].Name)
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
