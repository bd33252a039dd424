package spot

import (
	"strings"

	"fishplate/diagnose/track"
)

// Ways gives ways to say a point in large letters, longest first: "MAIN 12/13 CENTER",
// "12/13 C" (of the first run).
func Ways(l *track.Layout, name string) []string {
	p := Parse(l, name)
	place, rail := name, ""
	switch p.Kind {
	case Track:
		place, rail = l.PlaceName(p.Place), string(p.Rail)
	case Feeder, Post:
		place, rail = strings.TrimSuffix(name, " "+p.Wire), p.Wire
	}
	place, rail = strings.ToUpper(place), strings.ToUpper(rail)
	if rail == "" {
		return []string{place}
	}
	short := place
	if len(l.Runs) > 0 { // a bare number is one of the first run, as when typed
		short = strings.TrimPrefix(place, strings.ToUpper(l.Runs[0].Name)+" ")
	}
	out := []string{place + " " + rail, short + " " + rail}
	if rail == "COMMON" { // as on drawings; C alone is the center rail
		out = append(out, place+" COM")
	}
	abbr := rail[:1]
	if p.Inside != "" {
		abbr = strings.ToUpper(p.Inside) + " " + abbr
	}
	return append(out, place+" "+abbr, short+" "+abbr, strings.ReplaceAll(short, " ", "")+abbr)
}
