package layoutfile

import (
	_ "embed"
	"fmt"
	"sort"
	"strings"
	"sync"

	"github.com/hashicorp/hcl/v2"

	"fishplate/diagnose/track"
)

//go:embed constructions.hcl
var constructionsSource []byte

func sortStrings(s []string) { sort.Strings(s) }

// builtin reads the constructions that come with the program, once.
var builtin = sync.OnceValues(func() ([]*track.Construction, Problems) {
	r := newReader(constructionsSource)
	body := r.parse("constructions.hcl")
	if body == nil {
		return nil, r.finish()
	}
	set := newConstructionSet(nil)
	for _, b := range body.Blocks {
		if o := r.open(b, constructionSpec); o != nil {
			set.read(o)
		}
	}
	return set.list, r.finish()
})

// Constructions gives the constructions that come with the program, in the
// order of their file. They are data: a layout file can change or add to them.
func Constructions() []*track.Construction {
	list, problems := builtin()
	if len(problems) > 0 {
		panic("layoutfile: constructions.hcl: " + problems.Error()) // a test reads it
	}
	out := make([]*track.Construction, len(list))
	for i, c := range list {
		out[i] = cloneConstruction(c)
	}
	return out
}

func cloneConstruction(c *track.Construction) *track.Construction {
	n := *c
	n.Rails = append([]track.Rail(nil), c.Rails...)
	n.Tied = nil
	for _, g := range c.Tied {
		n.Tied = append(n.Tied, append([]track.Rail(nil), g...))
	}
	n.Flaws = append([]track.Flaw(nil), c.Flaws...)
	n.Turnout.Conductors = append([]track.Conductor(nil), c.Turnout.Conductors...)
	n.Crossing.Conductors = append([]track.Conductor(nil), c.Crossing.Conductors...)
	n.Slip.Conductors = append([]track.Conductor(nil), c.Slip.Conductors...)
	n.SingleSlip.Conductors = append([]track.Conductor(nil), c.SingleSlip.Conductors...)
	n.ThreeWay.Conductors = append([]track.Conductor(nil), c.ThreeWay.Conductors...)
	return &n
}

var (
	constructionSpec = &spec{
		labels: []string{"a name"},
		attrs:  []string{"like", "about", "rails", "hot", "common", "tied", "source"},
		blocks: []string{"rail", "joint", "clip", "lift", "flaw", "turnout", "three_way", "crossing", "slip", "single_slip"},
		examples: map[string]string{"rails": `rails = ["left", "center", "right"]`, "hot": `hot = "center"`, "common": `common = "right"`,
			"tied": `tied = ["left + right"]`, "about": `about = "pressed rail"`, "source": `source = "measured by ..."`, "like": `like = "metal-tie"`},
		example: `construction "my-track" { like = "metal-tie" }`,
	}
	railSpec  = &spec{attrs: []string{"ohms_per_meter", "spread", "level"}, example: "rail { ohms_per_meter = 0.0123 }"}
	jointSpec = &spec{attrs: []string{"ohms", "spread", "level"}, example: "joint { ohms = 0.0015 }"}
	clipSpec  = &spec{attrs: []string{"ohms", "spread"}, example: "clip { ohms = 0.003 }"}
	liftSpec  = &spec{attrs: []string{"minutes", "joint_minutes", "text"}, example: "lift { minutes = 3 }"}
	flawSpec  = &spec{
		labels: []string{"the part", "the fault"}, attrs: []string{"rails", "odds", "min", "max", "what", "look"},
		examples: map[string]string{"odds": "odds = 2", "min": "min = 0.05", "max": "max = 5", "what": `what = "the pin is loose"`,
			"look": `look = "squeeze the rail on the pin"`, "rails": `rails = ["center", "left"]`},
		example: `flaw "joint" "weak" { ... }`,
	}
	wiringSpec = &spec{attrs: []string{"source", "dead_mm", "conductors"}, example: `turnout { conductors = [...] }`,
		examples: map[string]string{"dead_mm": "dead_mm = 40", "conductors": `conductors = ["points left to through left by rail"]`}}
)

// constructionSet is the constructions known so far, by name.
type constructionSet struct {
	list []*track.Construction
	at   map[string]hcl.Range // of those that the file itself gives
}

func newConstructionSet(list []*track.Construction) *constructionSet {
	return &constructionSet{list: list, at: map[string]hcl.Range{}}
}

func (s *constructionSet) find(name string) *track.Construction {
	for _, c := range s.list {
		if c.Name == name {
			return c
		}
	}
	return nil
}

func (s *constructionSet) names() []string {
	var out []string
	for _, c := range s.list {
		out = append(out, c.Name)
	}
	return out
}

// read takes one construction block. A name that is known already is changed
// from there on; a new one starts empty or from the one it is like.
func (s *constructionSet) read(b *block) {
	name := b.label[0]
	if !isName(name) {
		b.r.fail(b.at[0], fmt.Sprintf("%q cannot be a name", clip(name)), "a name is a letter, then letters, digits, - or _")
		return
	}
	if first, ok := s.at[name]; ok {
		b.r.fail(b.at[0], fmt.Sprintf("a second construction %q", name), "give it another name", b.r.also(first, "the first one is here"))
		return
	}
	s.at[name] = b.at[0]
	c := &track.Construction{Name: name}
	switch like := b.text("like"); {
	case like != "" && s.find(like) == nil:
		b.r.fail(b.rangeOf("like"), fmt.Sprintf("no construction is named %q", clip(like)), suggest(like, s.names()))
		c = cloneConstruction(s.list[0])
	case like != "":
		c = cloneConstruction(s.find(like))
	case s.find(name) != nil:
		c = cloneConstruction(s.find(name))
	default:
		b.whole()
	}
	c.Name = name
	(&constructionReader{b: b, c: c, replaced: map[string]bool{}}).read()
	for i, old := range s.list {
		if old.Name == name {
			s.list[i] = c
			return
		}
	}
	s.list = append(s.list, c)
}

// whole asks for everything that a construction of its own must say.
func (b *block) whole() {
	b.need("rails", "hot", "common")
	for _, want := range []string{"rail", "joint", "clip", "lift", "turnout", "crossing"} {
		if !b.hasBlock(want) {
			b.r.fail(b.head, fmt.Sprintf("the block %s is missing in construction %q", want, b.label[0]), `add it, or start from a known one: like = "metal-tie"`)
		}
	}
}

type constructionReader struct {
	b        *block
	c        *track.Construction
	replaced map[string]bool // part and fault whose inherited flaws are gone
}

func (k *constructionReader) read() {
	b, c := k.b, k.c
	if s := b.text("about"); s != "" {
		c.About = s
	}
	if s := b.text("source"); s != "" {
		c.Source = s
	}
	if list, ok := b.texts("rails"); ok {
		k.rails(list)
	}
	if list, ok := b.texts("tied"); ok {
		k.tied(list)
	}
	if r := k.rail("hot"); r != "" {
		c.Hot = r
	}
	if r := k.rail("common"); r != "" {
		c.Common = r
	}
	if c.Hot != "" && c.Hot == c.Common {
		b.r.fail(b.rangeOf("common"), fmt.Sprintf("hot and common are both %q", c.Hot), "a feeder takes two different rails")
	}
	seen := map[string]bool{}
	for _, x := range b.body.Blocks {
		if x.Type != "flaw" && seen[x.Type] {
			b.r.fail(x.TypeRange, fmt.Sprintf("a second block %s in construction %q", x.Type, c.Name), "put both together")
			continue
		}
		seen[x.Type] = true
		specs := map[string]*spec{"rail": railSpec, "joint": jointSpec, "clip": clipSpec, "lift": liftSpec, "flaw": flawSpec, "turnout": wiringSpec, "crossing": wiringSpec, "slip": wiringSpec, "single_slip": wiringSpec, "three_way": wiringSpec}
		if sp := specs[x.Type]; sp != nil {
			if o := b.r.open(x, sp); o != nil {
				k.part(x.Type, o)
			}
		}
	}
}

func (k *constructionReader) part(kind string, o *block) {
	c := k.c
	switch kind {
	case "rail":
		set(o, "ohms_per_meter", 1e-6, 10, "ohm per meter", &c.RailPerMeter.Ohms)
		set(o, "spread", 0, 3, "", &c.RailPerMeter.Spread)
		set(o, "level", 0, 3, "", &c.RailLevel)
		o.positive("ohms_per_meter", c.RailPerMeter.Ohms)
	case "joint":
		set(o, "ohms", 1e-6, 10, "ohm", &c.JointOhms.Ohms)
		set(o, "spread", 0, 3, "", &c.JointOhms.Spread)
		set(o, "level", 0, 3, "", &c.JointLevel)
		o.positive("ohms", c.JointOhms.Ohms)
	case "clip":
		set(o, "ohms", 1e-6, 10, "ohm", &c.ClipOhms.Ohms)
		set(o, "spread", 0, 3, "", &c.ClipOhms.Spread)
		o.positive("ohms", c.ClipOhms.Ohms)
	case "lift":
		set(o, "minutes", 0, 1000, "minutes", &c.LiftMinutes)
		set(o, "joint_minutes", 0, 1000, "minutes", &c.PartMinutes)
		if s := o.text("text"); s != "" {
			c.Lift = s
		}
	case "flaw":
		k.flaw(o)
	case "turnout":
		k.wiring(o, &c.Turnout, []string{track.EndPoints, track.EndThrough, track.EndDiverging}, true)
	case "crossing":
		k.wiring(o, &c.Crossing, []string{"a1", "a2", "b1", "b2"}, false)
	case "slip":
		k.wiring(o, &c.Slip, []string{"a1", "a2", "b1", "b2"}, true)
	case "single_slip":
		k.wiring(o, &c.SingleSlip, []string{"a1", "a2", "b1", "b2"}, true)
	case "three_way":
		k.wiring(o, &c.ThreeWay, []string{track.EndPoints, track.EndThrough, track.EndDiverging, track.EndThird}, false)
	}
}

func set(b *block, name string, lo, hi float64, unit string, to *float64) {
	if v, ok := b.number(name, lo, hi, unit); ok {
		*to = v
	}
}

func (b *block) positive(name string, v float64) {
	if v == 0 && !b.has(name) {
		b.need(name)
	}
}

var railWords = []string{"left", "center", "right"}

func (k *constructionReader) rails(list []entry) {
	var rails []track.Rail
	for _, e := range list {
		if !contains(railWords, e.text) {
			k.b.r.fail(e.at, fmt.Sprintf("%q is not a rail", clip(e.text)), suggest(e.text, railWords))
			return
		}
		rails = append(rails, track.Rail(e.text))
	}
	s := fmt.Sprint(rails)
	if s != "[left center right]" && s != "[left right]" {
		k.b.r.fail(k.b.rangeOf("rails"), "rails must be those of three-rail or of two-rail track, from left to right", `write ["left", "center", "right"] or ["left", "right"]`)
		return
	}
	k.c.Rails = rails
}

func (k *constructionReader) railNames() []string {
	var out []string
	for _, r := range k.c.Rails {
		out = append(out, string(r))
	}
	return out
}

func (k *constructionReader) rail(attr string) track.Rail {
	if !k.b.has(attr) || len(k.c.Rails) == 0 {
		return ""
	}
	return track.Rail(k.b.choice(attr, k.railNames()))
}

func (k *constructionReader) tied(list []entry) {
	k.c.Tied = nil
	used := map[string]bool{}
	for _, e := range list {
		var group []track.Rail
		for _, w := range strings.Split(e.text, "+") {
			w = strings.TrimSpace(w)
			if !contains(k.railNames(), w) {
				k.b.r.fail(e.at, fmt.Sprintf("%q is not a rail of %s", clip(w), k.c.Name), "rails tied to each other are written \"left + right\"")
				return
			}
			if used[w] {
				k.b.r.fail(e.at, fmt.Sprintf("the rail %s is tied twice", w), "name every rail once")
				return
			}
			used[w] = true
			group = append(group, track.Rail(w))
		}
		if len(group) < 2 {
			k.b.r.fail(e.at, "one rail alone is not tied to anything", `write "left + right", or tied = []`)
			return
		}
		k.c.Tied = append(k.c.Tied, group)
	}
}

var (
	partWords  = []string{"piece", "turnout", "crossing", "joint", "gap", "feeder", "jumper"}
	modeWords  = []string{"open", "weak", "bridged", "swapped"}
	modesAtAll = map[string][]string{
		"piece": {"open", "weak", "bridged"}, "turnout": {"open", "weak", "bridged"}, "crossing": {"open", "weak", "bridged"},
		"joint": {"open", "weak"}, "gap": {"bridged"}, "feeder": modeWords, "jumper": {"open", "weak"},
	}
)

// flaw reads one way to fail. The first one of a part and a fault takes the
// place of all inherited ones of the same, with what it leaves out taken from
// them; odds = 0 leaves none.
func (k *constructionReader) flaw(o *block) {
	part, mode := o.label[0], o.label[1]
	if !known(o, partWords, modesAtAll) {
		return
	}
	f := track.Flaw{Part: track.Part(part), Mode: track.FaultMode(mode)}
	if key := part + " " + mode; !k.replaced[key] {
		k.replaced[key] = true
		var kept []track.Flaw
		for i := len(k.c.Flaws) - 1; i >= 0; i-- {
			if old := k.c.Flaws[i]; old.Part == f.Part && old.Mode == f.Mode {
				f = old
			} else {
				kept = append([]track.Flaw{old}, kept...)
			}
		}
		k.c.Flaws = kept
	}
	if !k.flawValues(o, &f) || f.Odds == 0 {
		return
	}
	k.c.Flaws = append(k.c.Flaws, f)
}

func (k *constructionReader) flawValues(o *block, f *track.Flaw) bool {
	if !o.need("odds") {
		return false
	}
	before := len(o.r.problems)
	set(o, "odds", 0, 1e6, "", &f.Odds)
	set(o, "min", 1e-6, 1e6, "ohm", &f.MinOhms)
	set(o, "max", 1e-6, 1e6, "ohm", &f.MaxOhms)
	if o.has("what") {
		f.What = o.text("what")
	}
	if o.has("look") {
		f.Look = o.text("look")
	}
	if list, ok := o.texts("rails"); ok {
		f.Rails = nil
		for _, e := range list {
			if !contains(k.railNames(), e.text) {
				o.r.fail(e.at, fmt.Sprintf("%q is not a rail of %s", clip(e.text), k.c.Name), suggest(e.text, k.railNames()))
				return false
			}
			f.Rails = append(f.Rails, track.Rail(e.text))
		}
	}
	if f.Odds == 0 || len(o.r.problems) > before {
		return len(o.r.problems) == before
	}
	if f.Mode == track.Weak || f.Mode == track.Bridged {
		if f.MinOhms == 0 || f.MaxOhms == 0 {
			return o.need("min", "max")
		}
		if f.MinOhms > f.MaxOhms {
			o.r.fail(o.rangeOf("min"), "min is more than max", "change them round")
			return false
		}
	}
	inPiece := f.Part == track.PartPiece || f.Part == track.PartTurnout || f.Part == track.PartCrossing
	if inPiece && f.Mode == track.Bridged && (len(f.Rails) != 2 || f.Rails[0] == f.Rails[1]) {
		o.r.fail(o.rangeOf("rails"), "a bridge needs the two rails that it joins", `write rails = ["center", "left"]`)
		return false
	}
	if f.What == "" && !o.need("what") || f.Look == "" && !o.need("look") {
		return false
	}
	return true
}

// wiring reads the inside of a turnout, a crossing or a slip; only those with
// points can have conductors that depend on them.
func (k *constructionReader) wiring(o *block, w *track.Wiring, ends []string, points bool) {
	if s := o.text("source"); s != "" {
		w.Source = s
	}
	set(o, "dead_mm", 0, 500, "millimeters", &w.DeadMM)
	if !o.need("conductors") {
		return
	}
	list, ok := o.texts("conductors")
	var out []track.Conductor
	for _, e := range list {
		c, good := k.conductor(e, points)
		ok = ok && good
		out = append(out, c)
	}
	w.Conductors = out
	if !ok {
		return
	}
	for _, end := range ends {
		for _, r := range k.c.Rails {
			if !touches(out, track.Contact{End: end, Rail: r}) {
				o.r.fail(o.rangeOf("conductors"), fmt.Sprintf("nothing leads to %s %s", end, r), fmt.Sprintf("add a conductor: \"middle %s to %s %s by rail share 0.5\"", r, end, r))
			}
		}
	}
}

func touches(list []track.Conductor, c track.Contact) bool {
	for _, x := range list {
		if x.From == c || x.To == c {
			return true
		}
	}
	return false
}

// conductor reads "points left to middle left by rail share 0.5" or
// "middle center to leg center by jumper 0.0047 when through".
func (k *constructionReader) conductor(e entry, points bool) (c track.Conductor, ok bool) {
	p := k.b.r.newPhrase(e.at, 1)
	if p == nil {
		return c, false
	}
	c.From = k.contact(p)
	p.expect("to")
	c.To = k.contact(p)
	p.expect("by")
	c.Share = 1
	switch at, w := p.at(p.next), p.take(); w {
	case "rail":
		if p.peek() == "share" {
			p.next++
			c.Share = p.number("share", 0.001, 1)
		}
	case "jumper":
		c.Jumper, c.Share = true, 0
		c.Ohms = p.number("jumper", 1e-6, 100)
	default:
		p.fail(at, fmt.Sprintf("%q is neither rail nor jumper", clip(w)), "write by rail share 0.5, or by jumper 0.005 (ohm)")
	}
	if p.peek() == "when" {
		p.next++
		at := p.at(p.next)
		c.When = p.take()
		if !points || c.When != track.EndThrough && c.When != track.EndDiverging {
			p.fail(at, fmt.Sprintf("points cannot be set for %q", clip(c.When)), "write when through or when diverging, in a turnout or a slip")
		}
	}
	if !p.done() {
		p.fail(p.at(p.next), fmt.Sprintf("%q is not known here", clip(p.peek())), "a conductor ends behind its resistance, its share or its route")
	}
	if !p.bad && c.From == c.To {
		p.fail(e.at, "this conductor ends where it begins", "")
	}
	return c, !p.bad
}

func (p *phrase) expect(w string) {
	if at := p.at(p.next); p.take() != w {
		p.fail(at, fmt.Sprintf("the word %q is missing here", w), "write it like \"points left to middle left by rail share 0.5\"")
	}
}

func (k *constructionReader) contact(p *phrase) track.Contact {
	at, end := p.at(p.next), p.take()
	if !isName(end) {
		p.fail(at, fmt.Sprintf("%q is not a place in the piece", clip(end)), "name an end and a rail: points left")
	}
	at, rail := p.at(p.next), p.take()
	if !contains(k.railNames(), rail) {
		p.fail(at, fmt.Sprintf("%q is not a rail of %s", clip(rail), k.c.Name), suggest(rail, k.railNames()))
	}
	return track.Contact{End: end, Rail: track.Rail(rail)}
}
