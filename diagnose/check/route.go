package check

import "fishplate/diagnose/track"

// standing is a train on a piece, about to leave it by an end.
type standing struct{ piece, end int }

// routeTo throws the points as a train from the nearest feeder needs them to
// reach a spot: a breadth-first search along the ways that a train can go.
func (c *design) routeTo(k contacts) map[int]string {
	from := map[standing]standing{}
	var queue []standing
	start := standing{-1, -1}
	visit := func(x, before standing) {
		if _, ok := from[x]; !ok {
			from[x] = before
			queue = append(queue, x)
		}
	}
	for i := range c.l.Feeders {
		p := c.l.Feeders[i].At.Piece
		for e := range c.l.Pieces[p].Ends {
			visit(standing{p, e}, start)
		}
	}
	for len(queue) > 0 {
		x := queue[0]
		queue = queue[1:]
		if x.piece == k.piece && (k.end < 0 || k.end == x.end) {
			return c.thrownAlong(x, start, from)
		}
		in := c.entry(x.piece, x.end)
		if in.Piece < 0 {
			continue
		}
		for _, leg := range c.l.Pieces[in.Piece].Legs {
			switch in.End {
			case leg.From:
				visit(standing{in.Piece, leg.To}, x)
			case leg.To:
				visit(standing{in.Piece, leg.From}, x)
			}
		}
	}
	return nil
}

// thrownAlong gives the routes of the pieces on the way to x.
func (c *design) thrownAlong(x, start standing, from map[standing]standing) map[int]string {
	out := map[int]string{}
	for ; x != start; x = from[x] {
		ends := c.l.Pieces[x.piece].Ends
		in := ""
		if before := from[x]; before != start {
			in = ends[c.entry(before.piece, before.end).End].Label
		}
		if r := route(c.l.Pieces[x.piece].Kind, in, ends[x.end].Label); r != "" {
			out[x.piece] = r
		}
	}
	return out
}

// route is the route that leads from one end of a piece to another, empty where
// there is no choice. in is empty where the train starts.
func route(kind track.Kind, in, out string) string {
	switch {
	case kind == track.Turnout && (in == track.EndDiverging || out == track.EndDiverging):
		return track.EndDiverging
	case kind == track.Turnout && (in == track.EndThrough || out == track.EndThrough):
		return track.EndThrough
	case kind == track.Crossing && in != "" && in[0] == out[0]: // a1 to a2, b1 to b2
		return track.EndThrough
	case kind == track.Crossing && in != "":
		return track.EndDiverging
	}
	return ""
}
