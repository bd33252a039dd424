package layoutfile

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

//go:embed constructions.hcl
var constructionsSource []byte

// builtin reads the constructions that come with the program, once.
var builtin = sync.OnceValues(func() ([]*track.Construction, Problems) {
	r := newReader(constructionsSource)
	s, problems := Parse("constructions.hcl", constructionsSource)
	if s == nil {
		return nil, problems
	}
	set := newConstructionSet(nil)
	for _, b := range s.Blocks {
		if o := r.open(b, schema.Find("construction")); o != nil {
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

// constructionSet is the constructions known so far, by name.
type constructionSet struct {
	list []*track.Construction
	at   map[string]sheet.Span // of those that the file itself gives
}

func newConstructionSet(list []*track.Construction) *constructionSet {
	return &constructionSet{list: list, at: map[string]sheet.Span{}}
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
	if !sheet.IsName(name) {
		b.r.fail(b.at[0], fmt.Sprintf("%q cannot be a name", sheet.Clip(name)), sheet.NameRule)
		return
	}
	if first, ok := s.at[name]; ok {
		b.r.fail(b.at[0], fmt.Sprintf("a second construction %q", name), "give it another name",
			b.r.also(first, "the first one is here"))
		return
	}
	s.at[name] = b.at[0]
	c := &track.Construction{Name: name}
	switch like := b.text("like"); {
	case like != "" && s.find(like) == nil:
		b.r.fail(b.rangeOf("like"), fmt.Sprintf("no construction is named %q", sheet.Clip(like)),
			schema.Suggest(like, s.names()))
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
			b.r.fail(b.head, fmt.Sprintf("the block %s is missing in construction %q", want, b.label[0]),
				`add it, or start from a known one: like = "metal-tie"`)
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
		b.r.fail(b.rangeOf("common"), fmt.Sprintf("hot and common are both %q", c.Hot),
			"a feeder takes two different rails")
	}
	seen := map[string]bool{}
	for _, x := range b.Blocks {
		if x.Kind != "flaw" && seen[x.Kind] {
			b.r.fail(x.KindAt, fmt.Sprintf("a second block %s in construction %q", x.Kind, c.Name), "put both together")
			continue
		}
		seen[x.Kind] = true
		if sp := b.spec.Block(x.Kind); sp != nil {
			if o := b.r.open(x, sp); o != nil {
				k.part(x.Kind, o)
			}
		}
	}
}

func (k *constructionReader) part(kind string, o *block) {
	c := k.c
	switch kind {
	case "rail":
		o.set("ohms_per_meter", &c.RailPerMeter.Ohms)
		o.set("spread", &c.RailPerMeter.Spread)
		o.set("level", &c.RailLevel)
		o.positive("ohms_per_meter", c.RailPerMeter.Ohms)
	case "joint":
		o.set("ohms", &c.JointOhms.Ohms)
		o.set("spread", &c.JointOhms.Spread)
		o.set("level", &c.JointLevel)
		o.positive("ohms", c.JointOhms.Ohms)
	case "clip":
		o.set("ohms", &c.ClipOhms.Ohms)
		o.set("spread", &c.ClipOhms.Spread)
		o.positive("ohms", c.ClipOhms.Ohms)
	case "lift":
		o.set("minutes", &c.LiftMinutes)
		o.set("joint_minutes", &c.PartMinutes)
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

func (b *block) positive(name string, v float64) {
	if v == 0 && !b.has(name) {
		b.need(name)
	}
}

var railWords = []string{"left", "center", "right"}

func (k *constructionReader) rails(list []*sheet.Value) {
	var rails []track.Rail
	for _, e := range list {
		if !slices.Contains(railWords, e.Text) {
			k.b.r.fail(e.At, fmt.Sprintf("%q is not a rail", sheet.Clip(e.Text)), schema.Suggest(e.Text, railWords))
			return
		}
		rails = append(rails, track.Rail(e.Text))
	}
	s := fmt.Sprint(rails)
	if s != "[left center right]" && s != "[left right]" {
		k.b.r.fail(k.b.rangeOf("rails"), "rails must be those of three-rail or of two-rail track, from left to right",
			`write ["left", "center", "right"] or ["left", "right"]`)
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
	return track.Rail(k.b.oneOf(attr, k.railNames()))
}

func (k *constructionReader) tied(list []*sheet.Value) {
	k.c.Tied = nil
	used := map[string]bool{}
	for _, e := range list {
		var group []track.Rail
		for _, w := range strings.Split(e.Text, "+") {
			w = strings.TrimSpace(w)
			if !slices.Contains(k.railNames(), w) {
				k.b.r.fail(e.At, fmt.Sprintf("%q is not a rail of %s", sheet.Clip(w), k.c.Name),
					"rails tied to each other are written \"left + right\"")
				return
			}
			if used[w] {
				k.b.r.fail(e.At, fmt.Sprintf("the rail %s is tied twice", w), "name every rail once")
				return
			}
			used[w] = true
			group = append(group, track.Rail(w))
		}
		if len(group) < 2 {
			k.b.r.fail(e.At, "one rail alone is not tied to anything", `write "left + right", or tied = []`)
			return
		}
		k.c.Tied = append(k.c.Tied, group)
	}
}

// flaw reads one way to fail. The first one of a part and a fault takes the
// place of all inherited ones of the same, with what it leaves out taken from
// them; odds = 0 leaves none.
func (k *constructionReader) flaw(o *block) {
	part, mode := o.label[0], o.label[1]
	if !known(o, schema.TrackParts) {
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
	o.set("odds", &f.Odds)
	o.set("min", &f.MinOhms)
	o.set("max", &f.MaxOhms)
	if o.has("what") {
		f.What = o.text("what")
	}
	if o.has("look") {
		f.Look = o.text("look")
	}
	if o.has("solder") {
		f.Solder = o.flag("solder")
	}
	if list, ok := o.texts("rails"); ok {
		f.Rails = nil
		for _, e := range list {
			if !slices.Contains(k.railNames(), e.Text) {
				o.r.fail(e.At, fmt.Sprintf("%q is not a rail of %s", sheet.Clip(e.Text), k.c.Name),
					schema.Suggest(e.Text, k.railNames()))
				return false
			}
			f.Rails = append(f.Rails, track.Rail(e.Text))
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
	o.set("dead_mm", &w.DeadMM)
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
				o.r.fail(o.rangeOf("conductors"), fmt.Sprintf("nothing leads to %s %s", end, r),
					fmt.Sprintf("add a conductor: \"middle %s to %s %s by rail share 0.5\"", r, end, r))
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
func (k *constructionReader) conductor(e *sheet.Value, points bool) (c track.Conductor, ok bool) {
	if !k.b.r.plain(e) {
		return c, false
	}
	p := sheet.NewPhrase(e.Text, 1)
	c.From = k.contact(p)
	expect(p, "to")
	c.To = k.contact(p)
	expect(p, "by")
	c.Share = 1
	switch at, w := p.Here(), p.Take(); w {
	case "rail":
		if p.Peek() == "share" {
			p.Take()
			c.Share = p.Number("share", 0.001, 1)
		}
	case "jumper":
		c.Jumper, c.Share = true, 0
		c.Ohms = p.Number("jumper", 1e-6, 100)
	default:
		p.Fail(at, fmt.Sprintf("%q is neither rail nor jumper", sheet.Clip(w)),
			"write by rail share 0.5, or by jumper 0.005 (ohm)")
	}
	if p.Peek() == "when" {
		p.Take()
		at := p.Here()
		c.When = p.Take()
		if !points || c.When != track.EndThrough && c.When != track.EndDiverging {
			p.Fail(at, fmt.Sprintf("points cannot be set for %q", sheet.Clip(c.When)),
				"write when through or when diverging, in a turnout or a slip")
		}
	}
	if !p.Done() {
		p.Fail(p.Here(), fmt.Sprintf("%q is not known here", sheet.Clip(p.Peek())),
			"a conductor ends behind its resistance, its share or its route")
	}
	if c.From == c.To {
		p.Fail(sheet.Whole, "this conductor ends where it begins", "")
	}
	return c, !k.b.r.slip(e, p.Slip())
}

func expect(p *sheet.Phrase, w string) {
	if at := p.Here(); p.Take() != w {
		p.Fail(at, fmt.Sprintf("the word %q is missing here", w),
			"write it like \"points left to middle left by rail share 0.5\"")
	}
}

func (k *constructionReader) contact(p *sheet.Phrase) track.Contact {
	at, end := p.Here(), p.Take()
	if !sheet.IsName(end) {
		p.Fail(at, fmt.Sprintf("%q is not a place in the piece", sheet.Clip(end)),
			"name an end and a rail: points left")
	}
	at, rail := p.Here(), p.Take()
	if !slices.Contains(k.railNames(), rail) {
		p.Fail(at, fmt.Sprintf("%q is not a rail of %s", sheet.Clip(rail), k.c.Name),
			schema.Suggest(rail, k.railNames()))
	}
	return track.Contact{End: end, Rail: track.Rail(rail)}
}
