package layoutfile

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// resolve finds a place by its name: "main 7", "W1", "main 3/4",
// "main 12/siding 1", "main 40/end", "W1 diverging", "main 7 end". end is -1
// for the middle of a piece. What cannot be found is answered; what may be
// missing only because a run could not be read is passed over in silence.
func (x *layoutReader) resolve(text string, at sheet.Span) (piece, end int, ok bool) {
	head, side, atJoint := strings.Cut(text, "/")
	words := strings.Fields(head)
	label := ""
	switch {
	case len(words) == 0:
		x.fail(at, "the place is empty", `write a place like "main 7" or "main 3/4"`)
		return -1, -1, false
	case len(words) == 3 || len(words) == 2 && x.isPieceName(words[0]):
		label = words[len(words)-1]
		words = words[:len(words)-1]
	}
	if piece, ok = x.resolvePiece(words, text, at); !ok || !x.laid {
		return -1, -1, false
	}
	switch {
	case label != "" && atJoint:
		x.fail(at, fmt.Sprintf("%q names an end and a joint at once", sheet.Clip(text)),
			`write "main 3/4" or "main 3 end"`)
		return -1, -1, false
	case label != "":
		end, ok = x.endByLabel(piece, label, at)
		return piece, end, ok
	case atJoint:
		end, ok = x.sideOf(piece, strings.TrimSpace(side), at)
		return piece, end, ok
	}
	return piece, -1, true
}

func (x *layoutReader) isPieceName(s string) bool {
	_, ok := x.pieceByName[s]
	return ok
}

func (x *layoutReader) resolvePiece(words []string, text string, at sheet.Span) (int, bool) {
	n := x.runByName[words[0]]
	if n == nil {
		if i, known := x.pieceByName[words[0]]; known && len(words) == 1 {
			return i, i >= 0
		}
		if !x.anyBroken() || schema.Nearest(words[0], x.knownPlaces()) != "" {
			x.fail(at, fmt.Sprintf("no run or piece is named %q", sheet.Clip(words[0])),
				schema.Suggest(words[0], x.knownPlaces()))
		}
		return -1, false
	}
	if m := hyphened.FindStringSubmatch(text); m != nil {
		x.fail(at, fmt.Sprintf("%q is no piece and no joint", sheet.Clip(text)),
			fmt.Sprintf("a joint is written \"%s %s/%s\", a piece \"%s %s\"", n.name, m[1], m[2], n.name, m[1]))
		return -1, false
	}
	if len(words) != 2 {
		x.fail(at, fmt.Sprintf("%q does not say which piece", sheet.Clip(text)),
			fmt.Sprintf("write a number behind the run: \"%s 7\"", n.name))
		return -1, false
	}
	k, err := strconv.Atoi(words[1])
	if err != nil {
		x.fail(at, fmt.Sprintf("%q is not the number of a piece", sheet.Clip(words[1])),
			fmt.Sprintf("write a number behind the run: \"%s 7\"", n.name))
		return -1, false
	}
	if n.broken {
		return -1, false
	}
	if k < 1 || k > n.count {
		x.fail(at, fmt.Sprintf("there is no %s %d: the run has %s", n.name, k, plural(n.count, "piece")),
			fmt.Sprintf("the last one is \"%s %d\"", n.name, n.count), x.also(n.at, "the run is here"))
		return -1, false
	}
	return n.first + k - 1, true
}

// hyphened is a joint written with a hyphen: "main 3-4".
var hyphened = regexp.MustCompile(`(\d+)\s*-\s*(\d+)$`)

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (x *layoutReader) endByLabel(piece int, label string, at sheet.Span) (int, bool) {
	p := &x.l.Pieces[piece]
	if e := p.EndIndex(label); e >= 0 {
		return e, true
	}
	var labels []string
	for _, e := range p.Ends {
		labels = append(labels, e.Label)
	}
	x.fail(at, fmt.Sprintf("%s is a %s and has no end %q", orElse(p.Name, p.ID()), p.Kind, sheet.Clip(label)),
		schema.Suggest(label, labels), x.also(x.itemOf[piece].at, "it is laid here"))
	return -1, false
}

// sideOf finds the end of a piece that faces another one.
func (x *layoutReader) sideOf(piece int, side string, at sheet.Span) (int, bool) {
	p := &x.l.Pieces[piece]
	if e := p.EndIndex(side); e >= 0 {
		return e, true
	}
	if x.joining {
		x.fail(at, fmt.Sprintf("%s/%s names a joint, and both its ends are taken", p.ID(), sheet.Clip(side)),
			fmt.Sprintf("write a free end, like %s", x.endNames(piece)[len(p.Ends)-1]))
		return -1, false
	}
	if !x.built {
		return -1, false
	}
	words := strings.Fields(side)
	if len(words) == 1 {
		if _, err := strconv.Atoi(side); err == nil {
			words = []string{p.Run, side}
		}
	}
	if len(words) == 0 || len(words) > 2 {
		x.fail(at, fmt.Sprintf("%q is not a piece", sheet.Clip(side)),
			fmt.Sprintf("write a joint like \"%s/%d\"", p.ID(), p.Number+1))
		return -1, false
	}
	other, ok := x.resolvePiece(words, side, at)
	if !ok {
		return -1, false
	}
	var meet []string
	for i, e := range p.Ends {
		if e.Joint < 0 {
			continue
		}
		j := &x.l.Joints[e.Joint]
		o := j.B
		if o.Piece == piece && o.End == i {
			o = j.A
		}
		if o.Piece == other {
			return i, true
		}
		meet = append(meet, fmt.Sprintf("%q", x.l.SideName(track.EndRef{Piece: piece, End: i})))
	}
	fix := p.ID() + " has no joint"
	if len(meet) > 0 {
		fix = "its joints are " + schema.Listed(meet, "and")
	}
	x.fail(at, fmt.Sprintf("%s and %s do not meet", p.ID(), x.l.Pieces[other].ID()), fix)
	return -1, false
}

// place reads an attribute that names a place.
func (x *layoutReader) place(b *block, attr string) (track.Place, bool) {
	s := b.text(attr)
	if s == "" && !b.emptyText(attr) {
		return track.Place{}, false
	}
	p, e, ok := x.resolve(s, b.rangeOf(attr))
	return track.Place{Piece: p, End: e}, ok
}

// piece reads a label or an attribute that names a whole piece.
func (x *layoutReader) piece(text string, at sheet.Span) (int, bool) {
	p, e, ok := x.resolve(text, at)
	if ok && e >= 0 {
		x.fail(at, fmt.Sprintf("%q is an end or a joint; a piece is wanted here", sheet.Clip(text)),
			fmt.Sprintf("write %q", x.l.Pieces[p].ID()))
		return -1, false
	}
	return p, ok
}

// label checks a free name: supplies, feeders, landmarks, stretches.
func (x *layoutReader) label(b *block, seen map[string]sheet.Span) string {
	name := strings.TrimSpace(b.label[0])
	switch first, twice := seen[name]; {
	case name == "":
		x.fail(b.at[0], fmt.Sprintf("the %s has no name", b.kind), "write "+b.spec.Example)
	case len(name) > 2*schema.MaxName:
		x.fail(b.at[0], fmt.Sprintf("the name has %d bytes; the limit is %d", len(name), 2*schema.MaxName),
			"make it shorter")
	case twice:
		x.fail(b.at[0], fmt.Sprintf("a second %s %q", b.kind, sheet.Clip(name)), "give it another name",
			x.also(first, "the first one is here"))
	default:
		seen[name] = b.at[0]
	}
	return name
}

// readThings reads everything that lies on the track or is joined to it.
func (x thingReader) readThings() {
	w := wireReader{x.layoutReader}.readWires()
	wireReader{x.layoutReader}.readFeeders(w)
	wireReader{x.layoutReader}.readTerminals(w)
	x.readInsulated()
	x.readBlocks(w)
	accessories := x.readAccessories(w)
	x.readInsulatedRails(accessories)
	x.sensingRails()
	x.readTrains()
	x.readHidden()
	x.readModules()
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["landmark"] {
		name := x.label(b, seen)
		if !b.needed() {
			continue
		}
		if p, ok := x.place(b, "at"); ok {
			x.l.Landmarks = append(x.l.Landmarks, track.Landmark{Name: name, At: p})
		}
	}
	for _, b := range x.kinds["note"] {
		if !b.needed() {
			continue
		}
		if p, ok := x.piece(b.label[0], b.at[0]); ok {
			x.l.Notes = append(x.l.Notes, track.Note{Piece: p, Text: b.text("text")})
		}
	}
	x.readHistory()
	x.readFlaws()
	x.readCounted()
}

func (x *layoutReader) feederRail(b *block, attr string, c *track.Construction, other track.Rail) track.Rail {
	if !b.has(attr) {
		return other
	}
	return x.railOf(b.text(attr), b.rangeOf(attr), c)
}

// railOf checks that the construction has the rail; empty when it has not.
func (x *layoutReader) railOf(s string, at sheet.Span, c *track.Construction) track.Rail {
	if c == nil || c.HasRail(track.Rail(s)) {
		return track.Rail(s)
	}
	var names []string
	for _, r := range c.Rails {
		names = append(names, string(r))
	}
	x.fail(at, fmt.Sprintf("%s track has no rail %q", c.Name, sheet.Clip(s)), schema.Suggest(s, names))
	return ""
}

// lengthOf reads a length as a number in the units of the file or as text
// with a unit of its own.
func (x *layoutReader) lengthOf(b *block, name string) float64 {
	a, spec := b.Attr(name), b.spec.Attr(name)
	if a == nil || spec == nil { // the latter is a stranger, answered already
		return 0
	}
	if v := &a.Value; v.Type == sheet.Text {
		if !x.plain(v) {
			return 0
		}
		p := sheet.NewPhrase(v.Text, x.unit)
		mm := p.Length(name, spec.Lo, spec.Hi)
		if !p.Done() {
			p.Fail(p.Here(), fmt.Sprintf("%q is not known behind a length", sheet.Clip(p.Peek())),
				`write it like "6 ft"`)
		}
		x.slip(v, p.Slip())
		return mm
	}
	v, ok := b.within(name, spec.Lo/x.unit, spec.Hi/x.unit, "")
	if !ok {
		return 0
	}
	return v * x.unit
}

func (x thingReader) readInsulated() {
	seen := map[int]sheet.Span{}
	for _, b := range x.kinds["insulated"] {
		if !b.needed() {
			continue
		}
		p, e, ok := x.resolve(b.label[0], b.at[0])
		if !ok {
			continue
		}
		j := -1
		if e >= 0 {
			j = x.l.Pieces[p].Ends[e].Joint
		}
		if j < 0 && !x.built {
			continue
		}
		if j < 0 {
			x.fail(b.at[0], fmt.Sprintf("%q is not a joint: only where two pieces meet can a rail be insulated",
				sheet.Clip(b.label[0])), fmt.Sprintf("write a joint like %q", x.someJoint(p)))
			continue
		}
		if first, twice := seen[j]; twice {
			x.fail(b.at[0], fmt.Sprintf("the joint %s is insulated twice", x.l.Joints[j].Name),
				"put both lists of rails together", x.also(first, "the first one is here"))
			continue
		}
		seen[j] = b.at[0]
		x.l.Joints[j].Insulated = x.insulatedRails(b, p, j)
	}
}

func (x *layoutReader) someJoint(piece int) string {
	for i, e := range x.l.Pieces[piece].Ends {
		if e.Joint >= 0 {
			return x.l.SideName(track.EndRef{Piece: piece, End: i})
		}
	}
	return "main 12/13"
}

// insulatedRails reads the rails as named on the piece that the label names
// first, and gives them as named on the joint's piece A.
func (x thingReader) insulatedRails(b *block, piece, j int) []track.Rail {
	joint := &x.l.Joints[j]
	list, _ := b.texts("rails")
	if len(list) == 0 && b.has("rails") && !x.failed() {
		x.fail(b.rangeOf("rails"), "no rail is insulated here", `write rails = ["center"]`)
	}
	var out []track.Rail
	named := map[track.Rail]bool{}
	for _, e := range list {
		r := x.railOf(e.Text, e.At, x.l.Pieces[piece].Construction)
		if r == "" {
			continue
		}
		if named[r] {
			x.fail(e.At, fmt.Sprintf("the rail %s is named twice", r), "name every rail once")
			continue
		}
		named[r] = true
		if piece != joint.A.Piece {
			r = acrossBack(x.l, j, r)
		}
		out = append(out, r)
	}
	return out
}

// acrossBack is Layout.AcrossJoint from piece B to piece A.
func acrossBack(l *track.Layout, j int, r track.Rail) track.Rail {
	for _, a := range []track.Rail{track.Left, track.Center, track.Right} {
		if l.AcrossJoint(j, a) == r {
			return a
		}
	}
	return r
}

func (x thingReader) readHidden() {
	seen := map[string]sheet.Span{}
	owner := map[int]*block{}
	for _, b := range x.kinds["hidden"] {
		s := track.Stretch{Name: x.label(b, seen)}
		ok := b.needed()
		b.set("minutes", &s.Minutes)
		if !ok {
			continue
		}
		from, okFrom := x.piece(b.text("from"), b.rangeOf("from"))
		to, okTo := x.piece(b.text("to"), b.rangeOf("to"))
		if !okFrom || !okTo {
			continue
		}
		if s.Pieces = x.between(b, from, to); s.Pieces == nil {
			continue
		}
		for _, p := range s.Pieces {
			if first := owner[p]; first != nil {
				x.fail(b.at[0], fmt.Sprintf("%s is hidden twice", x.l.Pieces[p].ID()),
					"let hidden stretches not overlap", x.also(first.at[0], "the other stretch is here"))
				break
			}
			owner[p] = b
			x.l.Pieces[p].Hidden = s.Name
			x.l.Pieces[p].ExtraMinutes += s.Minutes
		}
		x.l.Hidden = append(x.l.Hidden, s)
	}
}

// readModules reads the boards of a portable layout; a stretch that names another one's
// board is part of that.
func (x thingReader) readModules() {
	seen := map[string]sheet.Span{}
	boards := map[string]int{}
	owner := map[int]*block{}
	for _, b := range x.kinds["module"] {
		name := x.label(b, seen)
		if !b.needed() {
			continue
		}
		from, okFrom := x.piece(b.text("from"), b.rangeOf("from"))
		to, okTo := x.piece(b.text("to"), b.rangeOf("to"))
		if !okFrom || !okTo {
			continue
		}
		pieces := x.between(b, from, to)
		if pieces == nil {
			continue
		}
		at, known := len(x.l.Modules), true
		if on := b.text("board"); on != "" {
			if at, known = boards[on]; !known {
				help := "leave board out: it is for a further stretch of a module that stands before it"
				if len(boards) > 0 {
					help = schema.Suggest(on, slices.Sorted(maps.Keys(boards)))
				}
				x.fail(b.rangeOf("board"), fmt.Sprintf("no module before this one is named %q", sheet.Clip(on)), help)
				continue
			}
		} else {
			x.l.Modules = append(x.l.Modules, track.Stretch{Name: name})
			boards[name] = at
		}
		for _, p := range pieces {
			if first := owner[p]; first != nil {
				x.fail(b.at[0], fmt.Sprintf("%s is on two modules", x.l.Pieces[p].ID()),
					"let modules not overlap", x.also(first.at[0], "the other one is here"))
				break
			}
			owner[p] = b
			x.l.Modules[at].Pieces = append(x.l.Modules[at].Pieces, p)
		}
	}
}

// between lists the pieces of one run from one to another; a run that closes
// may be followed over its closing joint.
func (x *layoutReader) between(b *block, from, to int) []int {
	l := x.l
	if l.Pieces[from].Run != l.Pieces[to].Run {
		x.fail(b.rangeOf("to"), fmt.Sprintf("%s and %s are on different runs", l.Pieces[from].ID(), l.Pieces[to].ID()),
			"such a stretch lies on one run; write one for each", x.also(b.rangeOf("from"), "from is here"))
		return nil
	}
	n := x.runByName[l.Pieces[from].Run]
	if from > to && !n.closes {
		x.fail(b.rangeOf("to"), fmt.Sprintf("%s comes before %s", l.Pieces[to].ID(), l.Pieces[from].ID()),
			"change from and to round", x.also(b.rangeOf("from"), "from is here"))
		return nil
	}
	var out []int
	for p := from; ; p++ {
		if p == n.first+n.count {
			p = n.first
		}
		out = append(out, p)
		if p == to {
			return out
		}
	}
}

func (x thingReader) readHistory() {
	seen := map[int]sheet.Span{}
	for _, b := range x.kinds["history"] {
		o := track.OddsFactor{Why: b.text("why")}
		ok := b.needed()
		if v, good := b.number("odds"); good {
			o.Factor = v
		}
		if !ok {
			continue
		}
		p, good := x.piece(b.label[0], b.at[0])
		if !good {
			continue
		}
		if first, twice := seen[p]; twice {
			x.fail(b.at[0], fmt.Sprintf("a second history of %s", x.l.Pieces[p].ID()), "put both together",
				x.also(first, "the first one is here"))
			continue
		}
		seen[p] = b.at[0]
		o.Piece = p
		x.l.Odds = append(x.l.Odds, o)
	}
}
