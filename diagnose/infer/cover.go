package infer

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// Vantage is a supply and a set-up in which a short on some of the track is
// seen across the posts of that supply.
type Vantage struct {
	Supply int
	Setup  conductor.Setup
	First  bool
	// Adds is how many pieces have a place for a short that is seen from here
	// and was from none before.
	Adds int
}

// Cover lists the vantages from which every short that can be seen across the
// posts of a supply is seen, accessories unplugged: every supply as the layout
// usually stands, the given one first, then points and toggles thrown to reach
// what is left. The fewest are sought greedily.
func (e *Engine) Cover(first int) []Vantage {
	if out, ok := e.covers[first]; ok {
		return out
	}
	if e.covers == nil {
		e.covers = map[int][]Vantage{}
	}
	out := coverage{e}.cover(first)
	e.covers[first] = out
	return out
}

// coverage says what a place has in its view: which faults a reading there sees.
type coverage struct{ *Engine }

func (e coverage) cover(first int) []Vantage {
	c := &cover{e: e.Engine, seen: make([]bool, len(e.Hypos))}
	usual := conductor.Bare(e.Net.Layout)
	for k := range e.Net.Posts {
		i := k
		switch {
		case k == 0:
			i = first
		case k <= first:
			i = k - 1
		}
		c.take(i, usual)
	}
	more := c.states(usual)
	for c.best(more) {
	}
	for h := range e.Hypos {
		if e.bridge(h) && !c.seen[h] {
			c.reach(h, usual)
		}
	}
	c.out[0].First = true
	return c.out
}

// OnlyPlugged says whether an accessory can short a supply: such a short is
// seen across its posts only with the accessories on their wires.
func (e *Engine) OnlyPlugged(supply int) bool {
	if e.plugged == nil {
		for i := range e.Net.Posts {
			e.plugged = append(e.plugged, coverage{e}.onlyPlugged(i))
		}
	}
	return e.plugged[supply]
}

func (e coverage) onlyPlugged(supply int) bool {
	usual, bare := conductor.Usual(e.Net.Layout), conductor.Bare(e.Net.Layout)
	with, without := e.shortsSeen(&usual)[supply], e.shortsSeen(&bare)[supply]
	for h := range with {
		if x := &e.Hypos[h]; with[h] && !without[h] && e.Net.Links[e.Suspects[x.Suspect].Links[0]].Accessory >= 0 {
			return true
		}
	}
	return false
}

type cover struct {
	e    *Engine
	seen []bool // by hypothesis: a short there is seen from one of out
	out  []Vantage
}

// bridge says whether a hypothesis joins two points and does nothing else.
func (e coverage) bridge(h int) bool {
	x := &e.Hypos[h]
	return x.Suspect >= 0 && x.Effect.Kind == predict.EffectBridge && !x.compound()
}

// states are the set-ups with one thing changed: all points thrown, one of
// them, one toggle.
func (c *cover) states(usual conductor.Setup) []conductor.Setup {
	var out []conductor.Setup
	thrown := func(list []int) {
		s := usual.Clone()
		s.Thrown = map[int]string{}
		for _, t := range list {
			s.Thrown[t] = track.EndDiverging
		}
		out = append(out, s)
	}
	routing := c.e.Routing()
	if len(routing) > 1 {
		thrown(routing)
	}
	for i := range routing {
		thrown(routing[i : i+1])
	}
	for i := range c.e.Net.Layout.Toggles {
		s := usual.Clone()
		s.Flip(i)
		out = append(out, s)
	}
	return out
}

// best takes the state and supply that show most of what is not seen yet,
// false when none shows any.
func (c *cover) best(states []conductor.Setup) bool {
	top, supply, state := 0, 0, 0
	for k := range states {
		for i, seen := range (coverage{c.e}).shortsSeen(&states[k]) {
			if n := c.adds(seen); n > top {
				top, supply, state = n, i, k
			}
		}
	}
	if top == 0 {
		return false
	}
	c.take(supply, states[state])
	return true
}

// reach takes the route to a hypothesis's piece, where that shows it.
func (c *cover) reach(h int, usual conductor.Setup) {
	p := c.e.ClassPiece[c.e.Hypos[h].Class]
	if p < 0 {
		return
	}
	s := usual.Clone()
	if s.Thrown = c.e.RouteTo(p); s.Thrown == nil {
		return
	}
	for i, seen := range (coverage{c.e}).shortsSeen(&s) {
		if seen[h] {
			c.take(i, s)
			return
		}
	}
}

func (c *cover) take(supply int, s conductor.Setup) {
	seen := coverage{c.e}.shortsSeen(&s)[supply]
	c.out = append(c.out, Vantage{Supply: supply, Setup: s, Adds: c.adds(seen)})
	for h, yes := range seen {
		c.seen[h] = c.seen[h] || yes
	}
}

// adds counts the pieces of what is seen now and was not before.
func (c *cover) adds(seen []bool) int {
	classes := map[int]bool{}
	for h, yes := range seen {
		if yes && !c.seen[h] {
			classes[c.e.Hypos[h].Class] = true
		}
	}
	return len(classes)
}

// shortsSeen says, for every supply, which bridges join its posts on the
// layout otherwise sound, by whatever resistance.
func (e coverage) shortsSeen(s *conductor.Setup) [][]bool {
	at := e.tied(s)
	out := make([][]bool, len(e.Net.Posts))
	for i, post := range e.Net.Posts {
		a, b := at(post[0]), at(post[1])
		out[i] = make([]bool, len(e.Hypos))
		for h := range e.Hypos {
			if !e.bridge(h) || a == b || !s.Leaves(&e.Net.Links[e.Suspects[e.Hypos[h].Suspect].Links[0]]) {
				continue
			}
			x, y := at(e.Hypos[h].Effect.A), at(e.Hypos[h].Effect.B)
			out[i][h] = x == a && y == b || x == b && y == a
		}
	}
	return out
}
