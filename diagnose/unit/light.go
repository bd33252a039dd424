package unit

import (
	"slices"
	"strings"
)

// What people call the light of a lamp. One that is "lit", and no more is said
// of it, is taken for bright.
var (
	brightWords  = words("bright brightly full fully normal strong strongly lit on y yes burns burning b")
	glowingWords = words("glowing glow glows dim dimly dimmed dull faint faintly orange red weak weakly half low g")
	darkWords    = words("dark off out no none nothing unlit n d")
	// lightFiller are words that change nothing: "the lamp is glowing a little".
	lightFiller = words("it is its it's the lamp bulb burns burning lit on light at all a little bit very quite just " +
		"only stays")
)

// light reads what a lamp does: bright, glowing or dark, in the words that
// people use.
func (p *parser) light(word string) (Reading, error) {
	all := strings.Fields(strings.NewReplacer(",", " ", ".", " ", "!", " ", "no light", "dark", "not lit", "dark",
		"not on", "dark").Replace(word))
	said := slices.DeleteFunc(slices.Clone(all), func(w string) bool { return lightFiller[w] })
	if len(said) == 0 {
		said = all[max(0, len(all)-1):] // "it is lit"
	}
	kind := Kind("")
	for _, w := range said {
		k := lightOf(w)
		if k == "" || kind != "" && k != kind {
			return Reading{}, p.fail("not understood", "write "+settings[Lamp].example)
		}
		kind = k
	}
	if kind == "" {
		return Reading{}, p.fail("not understood", "write "+settings[Lamp].example)
	}
	return Reading{Kind: kind, Unit: None, Typed: p.typed}, nil
}

func lightOf(w string) Kind {
	switch {
	case brightWords[w]:
		return Bright
	case glowingWords[w]:
		return Glowing
	case darkWords[w]:
		return Dark
	}
	return ""
}
