package spice_test

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/spice"

	"github.com/stretchr/testify/require"
)

// netlist is what a stranger gets out of the text that Write writes: resistors
// with the words of their comments, and a table of points. Nothing of package
// conductor is used to understand it.
type netlist struct {
	points    map[string]string // name of a point -> node
	resistors []resistor
}

type resistor struct {
	id, a, b                               string
	ohms                                   float64
	kind, place, rail, turnout, name, when string
}

func read(t testing.TB, text string) *netlist {
	t.Helper()
	out := &netlist{points: map[string]string{}}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(line, "*: "):
			node, name, ok := strings.Cut(line[3:], " ")
			require.True(t, ok, line)
			require.NotContains(t, out.points, name)
			out.points[name] = node
		case strings.HasPrefix(line, "R"):
			card, comment, ok := strings.Cut(line, ";")
			require.True(t, ok, line)
			words := strings.Fields(card)
			require.Len(t, words, 4, line)
			r := resistor{id: words[0], a: words[1], b: words[2]}
			var err error
			r.ohms, err = strconv.ParseFloat(words[3], 64)
			require.NoError(t, err, line)
			for key, into := range map[string]*string{"kind": &r.kind, "place": &r.place, "rail": &r.rail,
				"turnout": &r.turnout, "name": &r.name, "when": &r.when} {
				*into = value(t, comment, key)
			}
			out.resistors = append(out.resistors, r)
		}
	}
	return out
}

// value takes key=word or key="words" out of a comment.
func value(t testing.TB, comment, key string) string {
	_, rest, ok := strings.Cut(comment, " "+key+"=")
	if !ok {
		return ""
	}
	if !strings.HasPrefix(rest, `"`) {
		word, _, _ := strings.Cut(rest, " ")
		return word
	}
	quoted, err := strconv.QuotedPrefix(rest)
	require.NoError(t, err, comment)
	words, err := strconv.Unquote(quoted)
	require.NoError(t, err, comment)
	return words
}

func written(t testing.TB, n *conductor.Network) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, spice.Write(&b, n))
	return b.String()
}

// order is a set-up in words, as a reading asks for it.
type order struct {
	kind        string // "none", "volts", "lamp"
	from, to    string
	volts, amps float64
	loads       []loadOrder
	lifted      []string
	pulled      []string
	thrown      map[string]string
	off         []string // toggles in their second position
	unplugged   []string
	also        []sourceOrder
}

// sourceOrder is another ideal supply that is on.
type sourceOrder struct {
	from, to string
	volts    float64
}

type loadOrder struct {
	from, to string
	ohms     float64
}

// circuit is a netlist in a set-up, ready for the simulator: node names and
// cards without prefix.
type circuit struct {
	points map[string]string
	parts  []resistor // what conducts
	cards  []string   // sources
	joins  [][2]string
	lead   map[string]string // node -> a node of its island
}

// under opens what the set-up opens (see the netlist's own header) and adds
// source and loads. Normally open links are left out, unless keepOpen.
func (n *netlist) under(o order, keepOpen bool) *circuit {
	c := &circuit{points: n.points}
	for _, r := range n.resistors {
		open := (r.kind == "insulation" || r.kind == "gap") && r.ohms == spice.OpenOhms && !keepOpen
		lifted := (r.kind == "joint" || r.kind == "gap") && slices.Contains(o.lifted, r.place)
		pulled := r.kind == "feeder" && slices.Contains(o.pulled, r.place)
		route := o.thrown[r.turnout]
		if route == "" {
			route = "through"
		}
		position, warm := "on", "cold"
		if slices.Contains(o.off, r.place) {
			position = "off"
		}
		if o.kind == "volts" || len(o.also) > 0 {
			warm = "hot"
		}
		gone := (r.kind == "load" || r.kind == "insulation") && slices.Contains(o.unplugged, r.place)
		wrong := r.kind == "switch" && r.when != route || r.kind == "toggle" && r.when != position ||
			r.kind == "load" && r.when != warm
		if open || lifted || pulled || gone || wrong {
			continue
		}
		c.parts = append(c.parts, r)
	}
	for i, l := range o.loads {
		c.parts = append(c.parts, resistor{id: fmt.Sprintf("Rload%d", i), a: n.points[l.from], b: n.points[l.to],
			ohms: l.ohms})
	}
	switch o.kind {
	case "volts":
		c.cards = append(c.cards, fmt.Sprintf("Vs %s %s %.17g", n.points[o.from], n.points[o.to], o.volts))
		c.joins = append(c.joins, [2]string{n.points[o.from], n.points[o.to]})
	case "lamp": // a source of its own, and the lamp in series behind it
		c.cards = append(c.cards, fmt.Sprintf("Vs emf %s %.17g", n.points[o.to], o.volts))
		c.joins = append(c.joins, [2]string{"emf", n.points[o.to]})
		c.parts = append(c.parts, resistor{id: "Rlamp", a: "emf", b: n.points[o.from], ohms: o.volts / o.amps})
	}
	for i, x := range o.also {
		c.cards = append(c.cards, fmt.Sprintf("Valso%d %s %s %.17g", i, n.points[x.from], n.points[x.to], x.volts))
		c.joins = append(c.joins, [2]string{n.points[x.from], n.points[x.to]})
	}
	c.islands()
	return c
}

// islands finds which nodes hang together, by repeated merging.
func (c *circuit) islands() {
	c.lead = map[string]string{"0": "0"}
	var find func(string) string
	find = func(x string) string {
		if c.lead[x] == "" {
			c.lead[x] = x
		}
		if c.lead[x] != x {
			c.lead[x] = find(c.lead[x])
		}
		return c.lead[x]
	}
	for _, r := range c.parts {
		c.joins = append(c.joins, [2]string{r.a, r.b})
	}
	for _, j := range c.joins {
		a, b := find(j[0]), find(j[1])
		c.lead[max(a, b)] = min(a, b) // "0" sorts first and stays a leader
	}
	for _, node := range c.points {
		find(node)
	}
	for node := range c.lead {
		c.lead[node] = find(node)
	}
}

// connected says whether any path joins two points.
func (c *circuit) connected(a, b string) bool { return c.lead[c.points[a]] == c.lead[c.points[b]] }
