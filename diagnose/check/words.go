package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/unit"
)

// Bases that several findings rest on: the trade's habits, or nothing but the
// file.
const (
	NoSource   = "common practice, no source"
	Arithmetic = "the layout file alone: arithmetic on its network"
)

// span names pieces as stretches along their runs: "main 9 to main 14, siding
// 2". More than four stretches are cut short.
func (c *design) span(pieces []int) string {
	pieces = slices.Compact(slices.Sorted(slices.Values(pieces)))
	return c.stretches(pieces)
}

// stretches names pieces in the order given, neighbours along a run together.
func (c *design) stretches(pieces []int) string {
	var out []string
	for i := 0; i < len(pieces); {
		k := i
		for step := 0; k+1 < len(pieces); k++ {
			a, b := &c.l.Pieces[pieces[k]], &c.l.Pieces[pieces[k+1]]
			d := b.Number - a.Number
			if a.Run != b.Run || d*d != 1 || step != 0 && d != step {
				break
			}
			step = d
		}
		name := c.l.Pieces[pieces[i]].ID()
		switch run := c.l.Pieces[pieces[i]].Run; {
		case k-i > 1 && k-i+1 == c.runLength(run):
			name = "all of " + run
		case k == i:
		case k == i+1:
			name += ", " + c.l.Pieces[pieces[k]].ID()
		default:
			name += " to " + c.l.Pieces[pieces[k]].ID()
		}
		out = append(out, name)
		i = k + 1
	}
	if len(out) > 4 {
		rest := len(out) - 3
		out = append(out[:3:3], fmt.Sprintf("and %d more stretches", rest))
	}
	return strings.Join(out, ", ")
}

// runLength is the number of pieces of a run.
func (c *design) runLength(name string) int {
	for i := range c.l.Runs {
		if c.l.Runs[i].Name == name {
			return len(c.l.Runs[i].Pieces)
		}
	}
	return 0
}

// unique drops repeated words and keeps the order.
func unique(words []string) []string {
	var out []string
	for _, w := range words {
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// way names a path of links as one walks it: feeders, buses and toggles by
// name, pieces as stretches. It gives the pieces too.
func (c *design) way(path []int) (words string, pieces []int) {
	var out []string
	var row []int
	flush := func() {
		if len(row) > 0 {
			out = append(out, c.stretches(row))
			row = nil
		}
	}
	for _, i := range path {
		k := &c.n.Links[i]
		name := c.wireName(k)
		switch {
		case name != "":
			flush()
			if len(out) == 0 || out[len(out)-1] != name {
				out = append(out, name)
			}
		case k.Piece >= 0:
			if len(row) == 0 || row[len(row)-1] != k.Piece {
				row = append(row, k.Piece)
				pieces = append(pieces, k.Piece)
			}
		}
	}
	flush()
	return strings.Join(out, ", "), pieces
}

// wireName names the wire, bus or toggle that a link belongs to, empty for the
// track.
func (c *design) wireName(k *conductor.Link) string {
	if isTrack(k) || k.Kind == conductor.KindGap {
		return ""
	}
	switch {
	case k.Feeder >= 0:
		return c.l.Feeders[k.Feeder].Name
	case k.Kind == conductor.KindBus && k.Bus >= 0:
		return c.l.Buses[k.Bus].Name
	case k.Kind == conductor.KindToggle && k.Toggle >= 0:
		return c.l.Toggles[k.Toggle].Part()
	case k.Accessory >= 0:
		return c.l.Accessories[k.Accessory].Name
	}
	return k.Place
}

// jointPieces are the two pieces of a joint.
func (c *design) jointPieces(j int) []int {
	return []int{c.l.Joints[j].A.Piece, c.l.Joints[j].B.Piece}
}

// jointNames lists joints, four at most.
func (c *design) jointNames(joints []int) string {
	var out []string
	for i, j := range joints {
		if i == 4 && len(joints) > 5 {
			out = append(out, fmt.Sprintf("%d more", len(joints)-i))
			break
		}
		out = append(out, c.l.Joints[j].Name)
	}
	return unit.And(unique(out))
}

// lengthMM is the length of a row of pieces along their first way.
func (c *design) lengthMM(pieces []int) float64 {
	sum := 0.0
	for _, p := range pieces {
		if legs := c.l.Pieces[p].Legs; len(legs) > 0 {
			sum += legs[0].Length
		}
	}
	return sum
}

// length prints a length in the layout's units.
func (c *design) length(mm float64) string {
	if c.l.Metric {
		return fmt.Sprintf("%.0f mm", mm)
	}
	in := math.Round(mm/2.54) / 10
	if in >= 24 && math.Mod(in, 12) == 0 {
		return fmt.Sprintf("%.0f ft", in/12)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", in), ".0") + " in"
}
