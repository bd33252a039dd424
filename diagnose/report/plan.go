package report

import (
	"fmt"
	"sort"
	"strings"

	"fishplate/diagnose/sketch"
	"fishplate/diagnose/track"
)

// Map draws the layout as an SVG picture to scale, seen from above: pieces with
// their suspicion (by width as well as by shade), the bad one framed, feeders,
// landmarks, and the numbers of the readings where the red probe was.
func (r *Report) Map() string {
	s := sketch.New(r.layout)
	if s == nil {
		return ""
	}
	for i := range r.layout.Pieces {
		s.Piece(r.layout, i, r.level(i))
	}
	if bad := r.layout.FindPiece(r.Piece); bad >= 0 {
		at := s.At(r.layout, track.Place{Piece: bad, End: -1})
		s.Ring(at, 1.6, "#a33a00")
		s.Text(at, 2.1, "bad: "+r.Piece, "#a33a00", true)
	}
	s.Numbers(r.layout, r.layout.FindPiece(r.Piece))
	s.Furniture(r.layout)
	r.probes(s)
	return s.Close(r.Layout)
}

// level is how much a piece is suspected, 0 to 3.
func (r *Report) level(i int) int {
	if i >= len(r.suspicion) {
		return 0
	}
	switch p := r.suspicion[i]; {
	case p >= 0.25:
		return 3
	case p >= 0.06:
		return 2
	case p*float64(len(r.suspicion)) >= 0.5:
		return 1
	}
	return 0
}

// probes numbers the places of the red probe; readings at one place share a
// circle.
func (r *Report) probes(s *sketch.Sketch) {
	at := map[track.Place]string{}
	var order []track.Place
	for i := range r.Readings {
		x := &r.Readings[i]
		place, ok := placeOf(r.layout, x.Red)
		if !ok || x.N == 0 {
			continue
		}
		if at[place] == "" {
			order = append(order, place)
		} else {
			at[place] += ","
		}
		at[place] += fmt.Sprint(x.N)
	}
	sort.Slice(order, func(a, b int) bool {
		if order[a].Piece != order[b].Piece {
			return order[a].Piece < order[b].Piece
		}
		return order[a].End < order[b].End
	})
	for _, place := range order {
		s.Badge(sketch.Beside(s.At(r.layout, place), -1.1*s.Em()), at[place])
	}
}

// placeOf finds where a point of the netlist lies: its last word is the rail or
// the wire. Posts of a supply lie nowhere on the track.
func placeOf(l *track.Layout, point string) (track.Place, bool) {
	cut := strings.LastIndexByte(point, ' ')
	if cut < 0 {
		return track.Place{}, false
	}
	name := point[:cut]
	for i := range l.Feeders {
		if l.Feeders[i].Name == name {
			return l.Feeders[i].At, true
		}
	}
	if i := l.FindPiece(name); i >= 0 {
		return track.Place{Piece: i, End: -1}, true
	}
	if j := l.FindJoint(name); j >= 0 {
		e := l.Joints[j].A
		return track.Place{Piece: e.Piece, End: e.End}, true
	}
	return track.Place{}, false
}
