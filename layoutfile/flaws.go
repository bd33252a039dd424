package layoutfile

import (
	"fmt"

	"github.com/hashicorp/hcl/v2"

	"fishplate/diagnose/track"
)

// What can fail under the table, and how. A construction says the same of its
// own parts.
var (
	underParts = []string{"bus", "toggle", "lead", "tap", "load", "rail", "common", "supply"}
	underModes = map[string][]string{"bus": {"open", "weak", "bridged", "swapped"}, "toggle": {"open", "weak", "bridged"}, "lead": {"open", "weak"},
		"tap": {"open", "weak"}, "load": {"bridged"}, "rail": {"bridged"}, "common": {"open", "weak"}, "supply": {"swapped"}}
)

// readFlaws changes the odds of what can fail under the table. What a block
// leaves out stays as it is; odds = 0 takes the flaw away.
func (x *layoutReader) readFlaws() {
	if len(x.kinds["flaw"]) == 0 {
		return
	}
	k := &constructionReader{c: &track.Construction{Name: "wiring"}}
	list := track.WiringFlaws()
	seen := map[string]hcl.Range{}
	for _, b := range x.kinds["flaw"] {
		if !known(b, underParts, underModes) {
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

// known says whether the part and the fault of a flaw are among those that can
// be.
func known(o *block, parts []string, modes map[string][]string) bool {
	part, mode := o.label[0], o.label[1]
	if !contains(parts, part) {
		o.r.fail(o.at[0], fmt.Sprintf("%q is not a part that can fail", clip(part)), suggest(part, parts))
		return false
	}
	if !contains(modes[part], mode) {
		o.r.fail(o.at[1], fmt.Sprintf("a %s cannot be %q", part, clip(mode)), suggest(mode, modes[part]))
		return false
	}
	return true
}
