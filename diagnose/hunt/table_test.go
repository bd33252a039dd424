package hunt_test

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// table is what lies before a person: it does acts literally and says what is
// wrong with them.
type table struct {
	l                               *track.Layout
	on, hot, common                 []bool // per supply: plugged in and on; wires on its posts
	lamp, minus, plus               int    // the supply whose wires they are on, -1
	lampAtBattery, clip, fuse       bool
	lifted, pulled, second, bareAcc map[int]bool
	thrown                          map[int]string
	loads                           map[conductor.Load]bool
	out                             map[string]bool
	trains, inline                  bool
	dial                            string
}

// newTable is a table in daily use, with a train on it and everything on.
func newTable(l *track.Layout) *table {
	b := &table{l: l, lamp: -1, minus: -1, plus: -1, lifted: map[int]bool{}, pulled: map[int]bool{},
		second: map[int]bool{}, bareAcc: map[int]bool{},
		thrown: map[int]string{}, loads: map[conductor.Load]bool{}, out: map[string]bool{}, trains: true}
	for range l.Supplies {
		b.on, b.hot, b.common = append(b.on, true), append(b.hot, true), append(b.common, true)
	}
	for _, i := range l.UsuallyOff() {
		b.second[i] = true
	}
	return b
}

func (b *table) live() bool { return slices.Contains(b.on, true) || b.clip }

// bare says whether a supply feeds its wires without a lamp.
func (b *table) bare() bool {
	for i := range b.on {
		if b.on[i] && b.hot[i] && b.common[i] {
			return true
		}
	}
	return b.clip && (b.lamp < 0 || !b.lampAtBattery)
}

// feeds says what feeds the track: kinds with supplies.
func (b *table) feeds(fuse bool) map[string]bool {
	out := map[string]bool{}
	for i := range b.on {
		atPost := b.lamp == i && !b.lampAtBattery
		atBattery := b.lamp == i && b.lampAtBattery
		switch {
		case atBattery && b.clip && b.minus == i && !b.hot[i] && !b.common[i] && (b.fuse || !fuse):
			out[fmt.Sprint("battery ", i)] = true
		case !atPost && !atBattery && b.clip && b.minus == i && b.plus == i && !b.hot[i] && !b.common[i] &&
			(b.fuse || !fuse):
			out[fmt.Sprint("bare battery ", i)] = true
		case atPost && b.on[i] && !b.hot[i] && b.common[i]:
			out[fmt.Sprint("lamp ", i)] = true
		case !atPost && !atBattery && b.on[i] && b.hot[i] && b.common[i]:
			out[fmt.Sprint("volts ", i)] = true
		case b.on[i] || b.hot[i] || b.common[i] || b.lamp == i || b.minus == i || b.plus == i:
			out[fmt.Sprint("something half done at ", i)] = true
		}
	}
	return out
}

func set(m map[int]bool, i int, is bool) {
	if is {
		m[i] = true
	} else {
		delete(m, i)
	}
}

func sorted(m map[int]bool) []int {
	var out []int
	for i := range m {
		out = append(out, i)
	}
	slices.Sort(out)
	return out
}

// do does an act; it says what is wrong with it.
func (b *table) do(m *hunt.Move) string {
	switch m.Act {
	case hunt.ActOff:
		for _, i := range m.All {
			b.on[i] = false
		}
		b.clip = b.clip && !m.Battery
		return ""
	case hunt.ActOn:
		return b.switchOn(m)
	case hunt.ActHandle, hunt.ActProvoke, hunt.ActFiled, hunt.ActLengthen: // the last at the meter's own lead
		if m.Act == hunt.ActFiled {
			b.daily()
		}
		return ""
	case hunt.ActDial:
		b.dial = m.To
		return ""
	}
	if b.live() {
		return "hands on the table with the power on: " + string(m.Act)
	}
	return b.hands(m)
}

func (b *table) daily() {
	clear(b.thrown)
	clear(b.second)
	for _, i := range b.l.UsuallyOff() {
		b.second[i] = true
	}
}

func (b *table) switchOn(m *hunt.Move) string {
	if b.dial == "continuity (beeper)" || b.dial == "ohms, lowest range" {
		return "the power comes on with the dial at " + b.dial
	}
	if !m.Battery {
		b.on[m.Of] = true
		return ""
	}
	if b.minus != m.Of || b.hot[m.Of] || b.common[m.Of] {
		return "the battery is on wires that hang on posts"
	}
	b.clip = true
	return ""
}

// hands does what touches the table.
func (b *table) hands(m *hunt.Move) string {
	switch m.Act {
	case hunt.ActClear:
		b.trains = false
	case hunt.ActWiresOff, hunt.ActWiresOn:
		side := b.hot
		if m.Side == "common" {
			side = b.common
		}
		side[m.Of] = m.Act == hunt.ActWiresOn
	case hunt.ActLampIn:
		b.lamp, b.lampAtBattery = m.Of, m.Battery
	case hunt.ActLampOut:
		if b.lamp == m.Of {
			b.lamp = -1
		}
	case hunt.ActFuse:
		b.fuse = true
	case hunt.ActMinusOn:
		b.minus = m.Of
	case hunt.ActMinusOff:
		if b.minus == m.Of {
			b.minus = -1
		}
	case hunt.ActPlusOn:
		b.plus = m.Of
	case hunt.ActPlusOff:
		if b.plus == m.Of {
			b.plus = -1
		}
	case hunt.ActMeterIn, hunt.ActMeterOut:
		b.inline = m.Act == hunt.ActMeterIn
	case hunt.ActLift, hunt.ActClose:
		if m.See && m.Act == hunt.ActClose {
			for _, j := range m.All {
				set(b.lifted, j, false)
			}
			break
		}
		set(b.lifted, m.Of, m.Act == hunt.ActLift)
	case hunt.ActPull, hunt.ActHang:
		set(b.pulled, m.Of, m.Act == hunt.ActPull)
	case hunt.ActSecond, hunt.ActFirst:
		set(b.second, m.Of, m.Act == hunt.ActSecond)
	case hunt.ActUnplug, hunt.ActReplug:
		set(b.bareAcc, m.Of, m.Act == hunt.ActUnplug)
	case hunt.ActThrow:
		b.thrown[m.Of] = m.To
	case hunt.ActLay:
		b.loads[m.Load] = true
	case hunt.ActTake:
		delete(b.loads, m.Load)
	case hunt.ActSeat:
		if m.See {
			clear(b.out)
			clear(b.lifted)
		}
		for _, name := range m.Names {
			delete(b.out, name)
			if p := b.l.FindPiece(name); p >= 0 {
				for _, e := range b.l.Pieces[p].Ends {
					delete(b.lifted, e.Joint)
				}
			}
		}
	default:
		return "nobody knows how to " + string(m.Act)
	}
	return ""
}
