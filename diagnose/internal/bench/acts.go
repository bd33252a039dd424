package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// What hands can do. Each does one thing to what stands on the table, and says
// what it cannot do.

func (b *tabletop) supplyNamed(name string) (int, error) {
	for i := range b.Layout.Supplies {
		if b.Layout.Supplies[i].Name == name {
			return i, nil
		}
	}
	return -1, fmt.Errorf("there is no supply %q on this table", name)
}

// only is the supply that is meant by a name, or without one where there is only
// one.
func (b *tabletop) only(name string) (int, error) {
	if name != "" {
		return b.supplyNamed(name)
	}
	if len(b.supplies) != 1 {
		return -1, fmt.Errorf("which supply is meant? there are %d", len(b.supplies))
	}
	return 0, nil
}

func (b *tabletop) unplug(i int) { b.supplies[i].on, b.supplies[i].plugged = false, false }

// plugIn switches on too, and resets the breaker: so it is done on most supplies.
func (b *tabletop) plugIn(i int) {
	b.supplies[i].plugged, b.supplies[i].on, b.supplies[i].tripped = true, true, false
}

func (b *tabletop) fullUp(i int) { b.supplies[i].handle = b.Handle }

func (b *tabletop) turnDown(i int) { b.supplies[i].handle = 0 }

// side is "hot" or "common" as hands hear it.
func (s *supply) side(word string) *bool {
	if word == "hot" {
		return &s.hot
	}
	return &s.common
}

// wires takes all the wires of one side off a post, or puts them back on it; off
// it they stay joined to each other.
func (b *tabletop) wires(side, name string, on bool) error {
	i, err := b.supplyNamed(name)
	if err != nil {
		return err
	}
	b.bare("the posts of " + name)
	*b.supplies[i].side(side) = on
	return nil
}

// lampBetween puts a lamp between a supply's hot post (or the battery's plus) and
// hot wires.
func (b *tabletop) lampBetween(battery bool, name, many string) error {
	i, err := b.supplyNamed(name)
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(cmp.Or(many, "1"))
	if err != nil || n < 1 {
		return fmt.Errorf("%q lamps", many)
	}
	b.bare("the hot wires of " + name)
	if battery && b.Battery == nil {
		return fmt.Errorf("there is no battery and no DC supply on this table")
	}
	if b.lamp.wires < 0 && b.lampsFree() < n {
		return fmt.Errorf("there is no lamp left to put in: all %d are laid", b.Lamps)
	}
	b.lamp = socket{i, battery, n}
	return nil
}

func (b *tabletop) lampOut(name string) error {
	i, err := b.supplyNamed(name)
	if err != nil {
		return err
	}
	b.bare("the lamp")
	if b.lamp.wires == i {
		b.lamp = socket{wires: -1}
	}
	return nil
}

// minus joins the battery's minus to the common wires of a supply, or parts them.
func (b *tabletop) minus(name string, on bool) error {
	return b.pole(&b.battery.minus, "common", name, on)
}

// plus joins the battery's plus to the hot wires of a supply, no lamp between.
func (b *tabletop) plus(name string, on bool) error {
	return b.pole(&b.battery.plus, "hot", name, on)
}

func (b *tabletop) pole(pole *int, side, name string, on bool) error {
	i, err := b.supplyNamed(name)
	if err != nil {
		return err
	}
	if b.Battery == nil {
		return fmt.Errorf("there is no battery and no DC supply on this table")
	}
	b.bare("the " + side + " wires of " + name)
	switch {
	case on:
		*pole = i
	case *pole == i:
		*pole = -1
	}
	return nil
}

func (b *tabletop) clip(on bool) error {
	if b.Battery == nil {
		return fmt.Errorf("there is no battery and no DC supply on this table")
	}
	b.battery.clip = on
	return nil
}

func (b *tabletop) joint(name string, lift bool) error {
	j := b.Layout.FindJoint(name)
	if j < 0 {
		return fmt.Errorf("there is no joint %q on this table", name)
	}
	b.bare("the joint " + name)
	b.lifted[j] = lift
	return nil
}

// PowerOff is what everybody does before touching the track: plugs out, clip off.
func (b *Bench) PowerOff() {
	for i := range b.supplies {
		b.unplug(i)
	}
	b.battery.clip = false
	b.touched()
}

// Look takes out what is to be looked at, a piece of track or something else, and
// leaves it beside the track.
func (b *Bench) Look(name string) {
	b.bare(name)
	if p := b.Layout.FindPiece(name); p >= 0 {
		b.out[p] = true
		b.touched()
	}
}

// seat puts pieces back in that were out to be looked at, their joints together; none
// named: all.
func (b *tabletop) seat(names []string) error {
	b.bare("pieces of track")
	if len(names) == 0 {
		clear(b.out)
		clear(b.lifted)
	}
	for _, name := range names {
		p := b.Layout.FindPiece(name)
		if p < 0 {
			continue
		}
		delete(b.out, p)
		for _, e := range b.Layout.Pieces[p].Ends {
			delete(b.lifted, e.Joint)
		}
	}
	return nil
}

func (b *tabletop) feeder(name string, pull bool) error {
	i := slices.IndexFunc(b.Layout.Feeders, func(f track.Feeder) bool { return f.Name == name })
	if i < 0 {
		return fmt.Errorf("there is no feeder %q on this table", name)
	}
	b.bare("the wires of " + name)
	b.pulled[i] = pull
	return nil
}

func (b *tabletop) accessoryWires(name string, offThem bool) error {
	i := slices.IndexFunc(b.Layout.Accessories, func(a track.Accessory) bool { return a.Name == name })
	if i < 0 {
		return fmt.Errorf("there is no accessory %q on this table", name)
	}
	b.bare("the wires of " + name)
	b.unplugged[i] = offThem
	return nil
}

func (b *tabletop) throw(name, route string) error {
	p := b.Layout.FindPiece(name)
	if p < 0 {
		return fmt.Errorf("there is no turnout %q on this table", name)
	}
	if b.Layout.Pieces[p].EndIndex(route) < 0 && !b.Layout.Pieces[p].Slips() {
		return fmt.Errorf("%s cannot be thrown to %q", name, route)
	}
	b.thrown[p] = route
	return nil
}

// daily puts every turnout and toggle as in daily use.
func (b *tabletop) daily() error {
	clear(b.thrown)
	clear(b.off)
	for _, i := range b.Layout.UsuallyOff() {
		b.off[i] = true
	}
	return nil
}

// toggle puts a toggle in its second position or its first. part is how it is
// called where it is off in the middle: then side says which of its two switches
// is meant.
func (b *tabletop) toggle(name string, second, side bool) error {
	for i := range b.Layout.Toggles {
		t := &b.Layout.Toggles[i]
		if t.Part() == name && t.Side == side || t.Name == name {
			b.off[i] = second
			return nil
		}
	}
	return fmt.Errorf("there is no toggle %q on this table", name)
}

// toggleTo puts a toggle that chooses to the side of one of its two outlets.
func (b *tabletop) toggleTo(name, outlet string) error {
	for i := range b.Layout.Toggles {
		t := &b.Layout.Toggles[i]
		if t.Part() != name && t.Name != name || !t.Chooses {
			continue
		}
		switch outlet {
		case b.Layout.OutletName(t.Other):
			b.off[i] = true
			return nil
		case b.Layout.OutletName(t.On):
			b.off[i] = false
			return nil
		}
		return fmt.Errorf("toggle %s does not choose %s", name, outlet)
	}
	return fmt.Errorf("there is no toggle %q on this table that chooses", name)
}

func (b *tabletop) lay(from, to string, what strap) error {
	for _, name := range []string{from, to} {
		if _, err := b.place(name); err != nil {
			return err
		}
	}
	from, to = b.known(from), b.known(to)
	what.from, what.to = from, to
	if slices.Contains(b.laid, what) {
		return nil
	}
	if b.lampsFree() < what.lamps {
		return fmt.Errorf("there is no lamp left to lay across %s and %s", from, to)
	}
	b.bare(from + " and " + to)
	b.laid = append(b.laid, what)
	return nil
}

// takeOff takes something off; must says that it is known to lie there.
func (b *tabletop) takeOff(from, to string, lamp, must bool) error {
	from, to = b.known(from), b.known(to)
	b.bare(from + " and " + to)
	for i, s := range b.laid {
		if s.lead() != lamp && (s.from == from && s.to == to || s.from == to && s.to == from) {
			b.laid = slices.Delete(b.laid, i, i+1)
			return nil
		}
	}
	if !must {
		return nil
	}
	return fmt.Errorf("there is nothing across %s and %s to take off", from, to)
}

// Mend takes the faults away of which it is said so.
func (b *Bench) Mend(which func(*fault.Suspect) bool) {
	b.Faults = slices.DeleteFunc(slices.Clone(b.Faults), func(f simulate.Fault) bool { return which(&f.Suspect) })
	b.touched()
}
