package hunt

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/unit"
)

// Act is one thing that hands do.
type Act string

// The acts. Every one makes something so, whatever it was before: done twice it
// does no harm.
const (
	ActClear    Act = "clear"     // trains off the rails
	ActOff      Act = "off"       // supplies (All) off and unplugged, or the battery's clip off
	ActOn       Act = "on"        // supply Of plugged in and on (To: its handle), or the battery's clip on
	ActHandle   Act = "handle"    // the handle of supply Of full up, or To "down"
	ActWiresOff Act = "wires-off" // Side wires of supply Of off their post, kept joined
	ActWiresOn  Act = "wires-on"  // and on it again
	ActLampIn   Act = "lamp-in"   // the lamp between supply (or battery) and hot wires
	ActLampOut  Act = "lamp-out"  // and out
	ActFuse     Act = "fuse"      // a fuse at the battery
	ActMinusOn  Act = "minus-on"  // the battery's minus to the common wires
	ActMinusOff Act = "minus-off" // and off
	ActPlusOn   Act = "plus-on"   // the lead of its plus to the hot wires, no lamp between
	ActPlusOff  Act = "plus-off"  // and off
	ActMeterIn  Act = "meter-in"  // the meter, for amperes, in the lamp's wire
	ActMeterOut Act = "meter-out" // and out
	ActLift     Act = "lift"      // joint Of open
	ActClose    Act = "close"     // and together, or (See) All of them
	ActPull     Act = "pull"      // feeder Of off what it hangs on
	ActHang     Act = "hang"      // and on again
	ActFiled    Act = "filed"     // points and toggles as in daily use
	ActSecond   Act = "second"    // toggle Of in its second position
	ActFirst    Act = "first"     // and in its first
	ActUnplug   Act = "unplug"    // accessory Of off its wires
	ActReplug   Act = "replug"    // and on again
	ActThrow    Act = "throw"     // turnout Of to To
	ActLay      Act = "lay"       // Load across its points
	ActTake     Act = "take"      // and away
	ActSeat     Act = "seat"      // pieces (Names) back in
	ActDial     Act = "dial"      // the meter's dial to To
	ActLengthen Act = "lengthen"  // a wire clipped to a lead that is too short
	ActProvoke  Act = "provoke"   // a fault that comes and goes, made to show; To "live": with power on
)

// Move is one act with what it is done to: indices into the layout's lists.
type Move struct {
	Act   Act
	Of    int
	All   []int
	Side  string // "hot" or "common"
	To    string
	Load  conductor.Load
	Names []string
	// Battery says that the supply is the battery or DC pack in place of Of.
	Battery bool
	// See says that hands may have done it already.
	See bool
	// Loose says of a feeder that the wires of its supply are off their posts, or will
	// be: its own hang on the others.
	Loose bool
	// AtHand says of a lead to be lengthened that a wire for it is known of.
	AtHand bool
}

// HooksUp says whether the step puts a lamp into the supply's circuit.
func (v *View) HooksUp() bool {
	return slices.ContainsFunc(v.Moves, func(m Move) bool { return m.Act == ActLampIn })
}

// provoked is how a fault that comes and goes is made to show, with the trains off, and
// provokedLive with power on: no hand is on a rail then.
const (
	provoked     = "press along the track, warm it"
	provokedLive = "press along the track with a stick of dry wood, no hand on rails or wires"
)

// words says moves as steps, one sentence each.
func (say wording) words(list []Move) []string {
	out := []string{}
	for i := range list {
		out = append(out, say.word(&list[i]))
	}
	return out
}

// word is the one place where an act becomes a sentence.
func (say wording) word(m *Move) string {
	l := say.layout
	see := func(do, seen string) string {
		if m.See {
			return "see that " + seen
		}
		return do
	}
	switch m.Act {
	case ActClear:
		return "take every train and loose car off the rails"
	case ActOff:
		return say.wordOff(m)
	case ActOn:
		return say.wordOn(m)
	case ActHandle:
		if m.To == "down" {
			return "turn the handle of " + say.pack(m.Of) + " down"
		}
		return "turn the handle of " + say.pack(m.Of) + " full up"
	case ActWiresOff:
		return see("take all "+m.Side+" wires off "+say.post(m.Of, m.Side)+", and keep them joined to each other",
			"all "+m.Side+" wires are off "+say.post(m.Of, m.Side)+", and joined to each other")
	case ActWiresOn:
		return see("put all "+m.Side+" wires back on "+say.post(m.Of, m.Side), "all "+m.Side+" wires are on "+
			say.post(m.Of, m.Side))
	case ActLampIn:
		return say.wordLampIn(m, see)
	case ActLampOut:
		return see("take the lamp out from "+say.wires(m.Of, "hot"), "no lamp is on "+say.wires(m.Of, "hot"))
	case ActFuse:
		return "see that a fuse of 3 A is at the battery's plus"
	case ActMinusOn:
		return see("join "+say.wires(m.Of, "common")+" to the minus of "+say.standInName(),
			say.wires(m.Of, "common")+" are joined to the minus of "+say.standInName())
	case ActMinusOff:
		return see("take "+say.wires(m.Of, "common")+" off the minus of "+say.standInName(),
			say.wires(m.Of, "common")+" are off the minus of "+say.standInName())
	case ActPlusOn:
		return see("join "+say.wires(m.Of, "hot")+" to the plus lead of "+say.standInName()+", still dead",
			say.wires(m.Of, "hot")+" are joined to the plus lead of "+say.standInName())
	case ActPlusOff:
		return see("take "+say.wires(m.Of, "hot")+" off the plus lead of "+say.standInName(),
			say.wires(m.Of, "hot")+" are off the plus lead of "+say.standInName())
	case ActMeterIn:
		return "put the meter, leads in its ampere sockets, in series with the lamp"
	case ActMeterOut:
		return see("take the meter out of the lamp's wire, and put its leads back into the volt sockets",
			"the meter is out of the lamp's wire, and its leads are in the volt sockets")
	case ActSeat:
		return say.wordSeat(m)
	case ActDial:
		return wordDial(m.To)
	case ActLengthen:
		return say.wordLengthen(m)
	case ActProvoke:
		how := provoked
		if m.To == "live" {
			how = provokedLive
		}
		return "make the fault show (" + how + ") and read while it does; if it stays away, skip"
	case ActLift:
		return see("lift the joint "+l.Joints[m.Of].Name+" so that no rail touches across it",
			"the joint "+l.Joints[m.Of].Name+" is open and no rail touches across it")
	case ActClose:
		if m.See {
			return say.wordTogether(m.All)
		}
		return "put the joint " + l.Joints[m.Of].Name + " back together"
	}
	return say.wordOfWires(m, see)
}

// wordDial are the words for a dial. A beeper is heard before it is believed: its silence
// is an answer too, and a lead that is broken or in the wrong socket is as silent (common
// practice, no source).
func wordDial(to string) string {
	if to == dialBeeper {
		return "turn the dial to " + to + ", and hear it beep with the probes tip to tip"
	}
	return "turn the dial to " + to
}

// wordOfWires are the words for feeders, toggles, accessories, points and what
// is laid.
func (say wording) wordOfWires(m *Move, see func(do, seen string) string) string {
	l := say.layout
	switch m.Act {
	case ActPull, ActHang:
		f := &l.Feeders[m.Of]
		at := l.OutletName(f.On)
		if m.Loose {
			at = "the joined wires of " + at
		}
		if m.Act == ActPull {
			return see("take both wires of feeder "+f.Name+" off "+at, "both wires of feeder "+f.Name+" are off "+at)
		}
		return see("put both wires of feeder "+f.Name+" back on "+at, "both wires of feeder "+f.Name+" are on "+at)
	case ActFiled:
		return "see that every turnout and toggle stands as in daily use" + say.throughAll()
	case ActSecond, ActFirst:
		return say.turnTo(m.Of, m.Act == ActSecond)
	case ActUnplug:
		return see("take the wires off the accessory "+l.Accessories[m.Of].Name, "the wires are off the accessory "+
			l.Accessories[m.Of].Name)
	case ActReplug:
		return see("put the wires of the accessory "+l.Accessories[m.Of].Name+" back", "the wires of the accessory "+
			l.Accessories[m.Of].Name+" are on")
	case ActThrow:
		return fmt.Sprintf("throw %s to %s", turnoutName(&l.Pieces[m.Of]), m.To)
	}
	from, to := say.place(m.Load.From), say.place(m.Load.To)
	switch {
	case m.Load.Ohms < 1 && m.Act == ActTake:
		return see("take the clip lead off "+from+" and "+to, "no clip lead is on "+from+" and "+to)
	case m.Load.Ohms < 1:
		return see("join "+from+" and "+to+" with a clip lead", "a clip lead joins "+from+" and "+to)
	case m.Act == ActTake:
		return see("take the "+say.load()+" off "+from+" and "+to, "no "+say.load()+" lies across "+from+" and "+to)
	}
	load := say.wordLoad(&m.Load)
	return see("lay "+load+" across "+from+" and "+to, load+" lies across "+from+" and "+to)
}

// load is what draws current across the rails: the kit's lamp, else what stands
// on every shelf.
func (say wording) load() string {
	if say.laysLamp() {
		return "lamp"
	}
	return "load"
}

// pack is what a person calls a supply.
func (say wording) pack(i int) string {
	s := &say.layout.Supplies[i]
	kind := "power pack"
	if s.AC {
		kind = "transformer"
	}
	if len(say.layout.Supplies) == 1 {
		return "the " + kind
	}
	return kind + " " + s.Name
}

// post is a screw terminal of a supply itself, wires all that hangs on it.
func (say wording) post(i int, side string) string {
	return "the " + side + " post of " + say.layout.Supplies[i].Name
}
func (say wording) wires(i int, side string) string {
	return "the " + side + " wires of " + say.layout.Supplies[i].Name
}

// place is a point as a step names it: of a supply's, where its wires join.
func (say wording) place(point int) string {
	for i, p := range say.net.Posts {
		for k, side := range [2]string{"hot", "common"} {
			if p[k] == point {
				return "where " + say.wires(i, side) + " join"
			}
		}
	}
	return say.net.Points[point].Name
}

// standInName is what stands in for a transformer.
func (say wording) standInName() string {
	if say.kit.Battery {
		return "the battery"
	}
	return "the DC power pack"
}

// ends are what the lamp sits between.
func (say wording) ends(m *Move) string {
	if m.Battery {
		return "the plus of " + say.standInName() + " and " + say.wires(m.Of, "hot")
	}
	return say.post(m.Of, "hot") + " and " + say.wires(m.Of, "hot")
}

func (say wording) wordOff(m *Move) string {
	if m.Battery {
		switch {
		case say.kit.Battery && m.See:
			return "see that the clip is off the battery's plus"
		case say.kit.Battery:
			return "take the clip off the battery's plus"
		case m.See:
			return "see that the DC power pack is off and unplugged"
		}
		return "switch the DC power pack off and unplug it"
	}
	if len(m.All) > 1 {
		var names []string
		for _, i := range m.All {
			names = append(names, say.layout.Supplies[i].Name)
		}
		return "switch every supply off, then pull " + plugs(len(names)) + " and touch no pins: " + unit.And(names)
	}
	if m.See {
		return "see that " + say.pack(m.All[0]) + " is off and unplugged"
	}
	return "switch " + say.pack(m.All[0]) + " off and unplug it"
}

func (say wording) wordOn(m *Move) string {
	switch {
	case m.Battery && say.kit.Battery && m.See:
		return "see that the clip is on the battery's plus"
	case m.Battery && say.kit.Battery:
		return "put the clip on the battery's plus"
	case m.Battery && m.See:
		return "see that the DC power pack is plugged in and on at " + unit.Format(say.kit.DCVolts, unit.Volt)
	case m.Battery:
		return "plug the DC power pack in and switch it on at " + unit.Format(say.kit.DCVolts, unit.Volt)
	case m.See:
		return "see that " + say.pack(m.Of) + " is plugged in and on"
	}
	if m.To == "down" { // trains are back
		return "plug " + say.pack(m.Of) + " in, its handle down, and switch it on"
	}
	return "plug " + say.pack(m.Of) + " in and switch it on"
}

func plugs(n int) string {
	if n == 2 {
		return "both plugs"
	}
	return "every plug"
}

func (say wording) wordTogether(joints []int) string {
	if len(joints) == 1 {
		return "see that the joint " + say.joints(joints) + " is together"
	}
	return "see that the joints " + say.joints(joints) + " are together"
}

func (say wording) joints(list []int) string {
	var names []string
	for _, j := range list {
		names = append(names, say.layout.Joints[j].Name)
	}
	return unit.And(names)
}

func (say wording) wordSeat(m *Move) string {
	names := slices.DeleteFunc(slices.Clone(m.Names), func(s string) bool { return s == infer.ClassOffTrack })
	back, look := "", ""
	if len(names) > 0 { // no piece was lifted for trains
		back = "put back all that was out to be looked at (" + unit.And(names) + ")"
	}
	if len(m.All) > 0 {
		look = ", above all " + say.joints(m.All)
	}
	if !m.See {
		return back + ", each piece seated and its joints together" + look
	}
	if back != "" {
		back += " and "
	}
	return back + "see that every piece is seated and its joints together" + look
}

// throughAll says how turnouts stand that switch current.
func (say wording) throughAll() string {
	if len(say.engine.Routing()) == 0 {
		return ""
	}
	return ", turnouts to through"
}
