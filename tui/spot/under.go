package spot

import (
	"strconv"
	"strings"

	"fishplate/diagnose/track"
)

// under reads the points of what lies under the table: terminals of a bus or a
// strip, outgoing lugs of a toggle, the two sides of an accessory, the labelled block.
func under(l *track.Layout, p Point, head, which string) Point {
	p.Wire = which
	for i := range l.Buses {
		if rest, ok := strings.CutPrefix(head, l.Buses[i].Name+" "); ok {
			if n, err := strconv.Atoi(rest); err == nil && n >= 1 && n <= l.Buses[i].Terminals {
				p.Kind, p.Part, p.Terminal = Terminal, l.Buses[i].Name, n
				return p
			}
		}
	}
	for i := range l.Toggles {
		if l.Toggles[i].Name == head {
			p.Kind, p.Part = Lug, head
			return p
		}
	}
	for i := range l.Accessories {
		if l.Accessories[i].Name == head {
			p.Kind, p.Part = Accessory, head
			if at, ok := l.StandsAt(i); ok {
				p.Place = at
			}
			return p
		}
	}
	for i := range l.Terminals {
		if t := &l.Terminals[i]; t.Name == head {
			p.Kind, p.Part, p.Place, p.Rail = Block, head, t.At, t.Hot
			if which == "common" {
				p.Rail = t.Common
			}
			return p
		}
	}
	p.Wire = ""
	return p
}

// describeUnder says where such a point is.
func describeUnder(l *track.Layout, p Point) Words {
	side := strings.ToUpper(p.Wire)
	switch p.Kind {
	case Terminal:
		w := Words{What: side + " terminal", Where: "at terminal " + strconv.Itoa(p.Terminal) + " of " + p.Part}
		for i := range l.Buses {
			if u := &l.Buses[i]; u.Name == p.Part && u.Terminals > 1 {
				w.Near = "counted from the supply, " + strconv.Itoa(u.Terminals) + " in all"
			}
		}
		return w
	case Block:
		return Words{What: side + " screw of " + p.Part, Where: "at the block", Near: "its wire comes from " +
			l.PlaceName(p.Place) + " " + string(p.Rail)}
	case Lug:
		return Words{What: side + " lug of toggle " + p.Part, Where: "where its wire goes on to the track"}
	}
	w := Words{What: side + " side of accessory " + p.Part, Where: "at its own terminal or wire end"}
	if p.Place.Piece >= 0 {
		w.Near = "it stands at " + l.PlaceName(p.Place)
	}
	return w
}
