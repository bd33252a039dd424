package layoutfile

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// readFlaws changes the odds of what can fail under the table. What a block
// leaves out stays as it is; odds = 0 takes the flaw away.
func (x thingReader) readFlaws() {
	if len(x.kinds["flaw"]) == 0 {
		return
	}
	k := &constructionReader{c: &track.Construction{Name: "wiring"}}
	list := track.WiringFlaws()
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["flaw"] {
		if !known(b, schema.WiringParts) {
			continue
		}
		if b.has("rails") {
			x.fail(b.rangeOf("rails"), fmt.Sprintf("a %s has no rails to choose from", b.label[0]), "take rails out")
			continue
		}
		key := b.label[0] + " " + b.label[1]
		if first, twice := seen[key]; twice {
			x.fail(b.at[0], "a second flaw "+key, "put both together", x.also(first, "the first one is here"))
			continue
		}
		seen[key] = b.at[0]
		for i := range list {
			if f := &list[i]; string(f.Part) == b.label[0] && string(f.Mode) == b.label[1] {
				k.b = b
				k.flawValues(b, f)
			}
		}
	}
	x.l.Flaws = list
}

// readCounted reads how much oftener than assumed hunts found a fault.
func (x thingReader) readCounted() {
	seen := map[string]sheet.Span{}
	for _, b := range x.kinds["counted"] {
		b.needed()
		if !known(b, slices.Concat(schema.TrackParts, schema.WiringParts)) {
			continue
		}
		key := b.label[0] + " " + b.label[1]
		if first, twice := seen[key]; twice {
			x.fail(b.at[0], "a second count of "+key, "put both together", x.also(first, "the first one is here"))
			continue
		}
		seen[key] = b.at[0]
		if times, ok := b.number("times"); ok {
			x.l.Counted = append(x.l.Counted, track.Counted{Part: track.Part(b.label[0]),
				Mode: track.FaultMode(b.label[1]), Times: times, Why: b.text("why")})
		}
	}
}

// known says whether the part and the fault of a flaw are among those that can
// be.
func known(o *block, parts []schema.Part) bool {
	part, mode := o.label[0], o.label[1]
	var names []string
	for _, p := range parts {
		if p.Name == part && slices.Contains(p.Modes, mode) {
			return true
		}
		if p.Name == part {
			o.r.fail(o.at[1], fmt.Sprintf("a %s cannot be %q", part, sheet.Clip(mode)), schema.Suggest(mode, p.Modes))
			return false
		}
		names = append(names, p.Name)
	}
	o.r.fail(o.at[0], fmt.Sprintf("%q is not a part that can fail", sheet.Clip(part)), schema.Suggest(part, names))
	return false
}
