package bench

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Do reads one sentence and does what it says, literally. The error says that
// the sentence is not understood, or that it cannot be done as things stand.
func (b *Bench) Do(sentence string) error {
	for _, p := range patterns {
		m := p.re.FindStringSubmatch(sentence)
		if m == nil {
			continue
		}
		err := p.do(b, m[1:])
		b.touched()
		if err != nil {
			return fmt.Errorf("%q cannot be done: %w", sentence, err)
		}
		// What happens at once happens: a breaker trips before a probe is lifted.
		if _, err := b.now(); err != nil {
			return err
		}
		return nil
	}
	return fmt.Errorf("no hands understand the sentence %q", sentence)
}

// pattern is a form of sentence and what hands do on hearing it.
type pattern struct {
	re *regexp.Regexp
	do func(b *Bench, m []string) error
}

func says(form string, do func(b *Bench, m []string) error) pattern {
	return pattern{regexp.MustCompile("^" + form + "$"), do}
}

// Parts of sentences.
const (
	pack    = `(?:the (?:transformer|power pack)|(?:transformer|power pack) (\S+))`
	cellAt  = `the (?:battery|DC power pack)`
	lampsOf = `(?:the lamp|(\d) lamps in series)`
)

// patterns are the sentences that these hands know. One that begins with "see
// that" is done where it is not so.
var patterns = slices.Concat(feeding, wiring, flipping, laying, dialing)

// feeding is what is done to supplies and to the battery.
var feeding = []pattern{
	says(`switch `+pack+` off and unplug it`, onSupply((*Bench).unplug)),
	says(`see that `+pack+` is off and unplugged`, onSupply((*Bench).unplug)),
	says(`switch every supply off, then pull (?:both plugs|every plug) and touch no pins: (.+)`,
		func(b *Bench, m []string) error {
			for _, name := range list(m[0]) {
				if err := onSupply((*Bench).unplug)(b, []string{name}); err != nil {
					return err
				}
			}
			return nil
		}),
	says(`plug `+pack+` in(?:, its handle down,)? and switch it on`, onSupply((*Bench).plugIn)),
	says(`see that `+pack+` is plugged in and on`, onSupply((*Bench).plugIn)),
	says(`turn the handle of `+pack+` full up`, onSupply((*Bench).fullUp)),
	says(`turn the handle of `+pack+` down`, onSupply((*Bench).turnDown)),
	says(`take the clip off the battery's plus`, clip(false)),
	says(`see that the clip is off the battery's plus`, clip(false)),
	says(`put the clip on the battery's plus`, clip(true)),
	says(`see that the clip is on the battery's plus`, clip(true)),
	says(`switch the DC power pack off and unplug it`, clip(false)),
	says(`see that the DC power pack is off and unplugged`, clip(false)),
	says(`plug the DC power pack in and switch it on at .+`, clip(true)),
	says(`see that the DC power pack is plugged in and on at .+`, clip(true)),
	says(`see that a fuse of 3 A is at the battery's plus`, func(b *Bench, _ []string) error {
		if b.Battery != nil {
			b.Battery.Fuse = 3
		}
		return nil
	}),
}

// wiring is what is done to the wires at the posts, and to the lamp there.
var wiring = []pattern{
	says(`take all (hot|common) wires off the (hot|common) post of (\S+), and keep them joined to each other`,
		wires(false)),
	says(`see that all (hot|common) wires are off the (hot|common) post of (\S+), and joined to each other`,
		wires(false)),
	says(`put all (hot|common) wires back on the (hot|common) post of (\S+)`, wires(true)),
	says(`see that all (hot|common) wires are on the (hot|common) post of (\S+)`, wires(true)),
	says(`put `+lampsOf+` between the hot post of (\S+) and the hot wires of (\S+)`, lampAtPost),
	says(`see that `+lampsOf+` (?:is|are) between the hot post of (\S+) and the hot wires of (\S+)`, lampAtPost),
	says(`put `+lampsOf+` between the plus of `+cellAt+` and the hot wires of (\S+)`, lampAtBattery),
	says(`see that `+lampsOf+` (?:is|are) between the plus of `+cellAt+` and the hot wires of (\S+)`, lampAtBattery),
	says(`take the lamp out from the hot wires of (\S+)`,
		func(b *Bench, m []string) error { return b.lampOut(m[0]) }),
	says(`see that no lamp is on the hot wires of (\S+)`,
		func(b *Bench, m []string) error { return b.lampOut(m[0]) }),
	says(`join the common wires of (\S+) to the minus of `+cellAt,
		func(b *Bench, m []string) error { return b.minus(m[0], true) }),
	says(`see that the common wires of (\S+) are joined to the minus of `+cellAt,
		func(b *Bench, m []string) error { return b.minus(m[0], true) }),
	says(`take the common wires of (\S+) off the minus of `+cellAt,
		func(b *Bench, m []string) error { return b.minus(m[0], false) }),
	says(`see that the common wires of (\S+) are off the minus of `+cellAt,
		func(b *Bench, m []string) error { return b.minus(m[0], false) }),
	says(`join the hot wires of (\S+) to the plus lead of `+cellAt+`, still dead`,
		func(b *Bench, m []string) error { return b.plus(m[0], true) }),
	says(`see that the hot wires of (\S+) are joined to the plus lead of `+cellAt,
		func(b *Bench, m []string) error { return b.plus(m[0], true) }),
	says(`take the hot wires of (\S+) off the plus lead of `+cellAt,
		func(b *Bench, m []string) error { return b.plus(m[0], false) }),
	says(`see that the hot wires of (\S+) are off the plus lead of `+cellAt,
		func(b *Bench, m []string) error { return b.plus(m[0], false) }),
}

// aboveAll names joints of pieces that are seated: hands look at them first.
const aboveAll = `(?:, above all .+)?`

// flipping is what is done to joints, pieces, feeders, points, toggles and plugs.
var flipping = []pattern{
	says(`take every train and loose car off the rails`,
		func(b *Bench, _ []string) error { b.trains = false; return nil }),
	says(`lift the joint (.+?) so that no rail touches across it`, joint(true)),
	says(`see that the joint (.+?) is open and no rail touches across it`, joint(true)),
	says(`put the joint (.+?) back together`, joint(false)),
	says(`see that the joints? (.+?) (?:is|are) together`, joint(false)),
	says(`put back all that was out to be looked at \((.+)\), each piece seated and its joints together`+aboveAll,
		func(b *Bench, m []string) error { return b.seat(list(m[0])) }),
	says(`(?:put back all that was out to be looked at \(.+\) and )?see that every piece is seated and its joints `+
		`together`+aboveAll,
		func(b *Bench, _ []string) error { return b.seat(nil) }),
	says(`take both wires of feeder (\S+) off .+`, feeder(true)),
	says(`see that both wires of feeder (\S+) are off .+`, feeder(true)),
	says(`put both wires of feeder (\S+) back on .+`, feeder(false)),
	says(`see that both wires of feeder (\S+) are on .+`, feeder(false)),
	says(`take the wires off the accessory (.+)`, accessory(true)),
	says(`see that the wires are off the accessory (.+)`, accessory(true)),
	says(`put the wires of the accessory (.+) back`, accessory(false)),
	says(`see that the wires of the accessory (.+) are on`, accessory(false)),
	says(`see that every turnout and toggle stands as in daily use(?:, turnouts to through)?`,
		func(b *Bench, _ []string) error { return b.daily() }),
	says(`throw (.+) to (through|diverging|third)`, func(b *Bench, m []string) error { return b.throw(m[0], m[1]) }),
	says(`put toggle (\S+) in the middle \(off\)`,
		func(b *Bench, m []string) error { return b.toggle(m[0], true, false) }),
	says(`put toggle (\S+) out of the middle`,
		func(b *Bench, m []string) error { return b.toggle(m[0], false, false) }),
	says(`put toggle (\S+) to its second side \(reversing\)`,
		func(b *Bench, m []string) error { return b.toggle(m[0], true, true) }),
	says(`put toggle (\S+) to its first side`,
		func(b *Bench, m []string) error { return b.toggle(m[0], false, true) }),
	says(`put toggle (\S+) in its second position \(off\)`,
		func(b *Bench, m []string) error { return b.toggle(m[0], true, false) }),
	says(`put toggle (\S+) on`, func(b *Bench, m []string) error { return b.toggle(m[0], false, false) }),
	says(`put toggle (\S+) to (.+)`, func(b *Bench, m []string) error { return b.toggleTo(m[0], m[1]) }),
}

// laying is what is laid across the rails and taken off again.
var laying = []pattern{
	says(`take the (lamp|load|clip lead) off (.+) and (.+)`,
		func(b *Bench, m []string) error { return b.takeOff(m[1], m[2], m[0] != "clip lead", true) }),
	says(`see that no (lamp|load|clip lead) (?:lies across|is on) (.+) and (.+)`,
		func(b *Bench, m []string) error { return b.takeOff(m[1], m[2], m[0] != "clip lead", false) }),
	says(`join (.+) and (.+) with a clip lead`, func(b *Bench, m []string) error { return b.lay(m[0], m[1], strap{}) }),
	says(`see that a clip lead joins (.+) and (.+)`,
		func(b *Bench, m []string) error { return b.lay(m[0], m[1], strap{}) }),
	says(`lay a lamp of about [^()]+ \(for \S+ V: of those for (\d+) V two in series\) across (.+) and (.+)`, oneOrTwo),
	says(`see that a lamp of about [^()]+ \(for \S+ V: of those for (\d+) V two in series\) lies across (.+) and (.+)`,
		oneOrTwo),
	says(`lay (?:the lamp|a lamp of about .+?) across (.+) and (.+)`,
		func(b *Bench, m []string) error { return b.lay(m[0], m[1], strap{lamps: 1}) }),
	says(`see that (?:the lamp|a lamp of about .+?) lies across (.+) and (.+)`,
		func(b *Bench, m []string) error { return b.lay(m[0], m[1], strap{lamps: 1}) }),
	says(`lay a load of about (\S+) ohm .+? across (.+) and (.+)`, aLoad),
	says(`see that a load of about (\S+) ohm .+? lies across (.+) and (.+)`, aLoad),
	says(`lay (\d) lamps in series of about .+? across (.+) and (.+)`, inARow),
	says(`see that (\d) lamps in series of about .+? (?:lie|lies) across (.+) and (.+)`, inARow),
}

// oneOrTwo lays one lamp, or two where it is for fewer volts.
func oneOrTwo(b *Bench, m []string) error {
	n := 1
	if most, err := strconv.ParseFloat(m[0], 64); err == nil && b.Lamp.Volts <= most {
		n = 2
	}
	return b.lay(m[1], m[2], strap{lamps: n})
}

// aLoad puts a lit car or an engine there: it is made for the track's volts.
func aLoad(b *Bench, m []string) error {
	ohms, err := strconv.ParseFloat(m[0], 64)
	if err != nil || ohms <= 0 {
		return fmt.Errorf("a load of %q ohm", m[0])
	}
	return b.lay(m[1], m[2], strap{load: ohms})
}

// inARow lays so many lamps, one after the other, across two places.
func inARow(b *Bench, m []string) error { return b.lay(m[1], m[2], strap{lamps: int(m[0][0] - '0')}) }

// dialing is what is done to the meter.
var dialing = []pattern{
	says(`turn the dial to (.+?)(?:, and hear it beep with the probes tip to tip)?`, func(b *Bench, m []string) error {
		b.dial = m[0]
		return nil
	}),
	says(`put the meter, leads in its ampere sockets, in series with the lamp`,
		func(b *Bench, _ []string) error { b.ampere = true; return nil }),
	says(`take the meter out of the lamp's wire, and put its leads back into the volt sockets`,
		func(b *Bench, _ []string) error { b.ampere = false; return nil }),
	says(`see that the meter is out of the lamp's wire, and its leads are in the volt sockets`,
		func(b *Bench, _ []string) error { b.ampere = false; return nil }),
	says(`(?:clip an extension wire to|lengthen) one lead.* \(.+\): the probes are about .+ apart`,
		func(*Bench, []string) error { return nil }), // the meter here has leads without end
	says(`make the fault show \((.+)\) and read while it does; if it stays away, skip`,
		func(b *Bench, m []string) error {
			if b.live() && !strings.Contains(m[0], "with a stick of dry wood") {
				b.hazard("hands press along a live track")
			}
			b.Away(false)
			return nil
		}),
}

// list parts "A, B and C".
func list(text string) []string {
	return strings.Split(strings.ReplaceAll(text, " and ", ", "), ", ")
}

func onSupply(do func(*Bench, int)) func(*Bench, []string) error {
	return func(b *Bench, m []string) error {
		i, err := b.only(strings.TrimSpace(strings.Join(m, "")))
		if err == nil {
			do(b, i)
		}
		return err
	}
}

func clip(on bool) func(*Bench, []string) error {
	return func(b *Bench, _ []string) error { return b.clip(on) }
}

func wires(on bool) func(*Bench, []string) error {
	return func(b *Bench, m []string) error {
		if m[0] != m[1] {
			return fmt.Errorf("%s wires do not belong on a %s post", m[0], m[1])
		}
		return b.wires(m[0], m[2], on)
	}
}

func lampAtPost(b *Bench, m []string) error {
	if m[1] != m[2] {
		return fmt.Errorf("the lamp would lie between two supplies, %s and %s", m[1], m[2])
	}
	return b.lampBetween(false, m[2], m[0])
}

func lampAtBattery(b *Bench, m []string) error { return b.lampBetween(true, m[1], m[0]) }

func joint(lift bool) func(*Bench, []string) error {
	return func(b *Bench, m []string) error {
		for _, name := range list(m[0]) {
			if err := b.joint(name, lift); err != nil {
				return err
			}
		}
		return nil
	}
}

func feeder(pull bool) func(*Bench, []string) error {
	return func(b *Bench, m []string) error { return b.feeder(m[0], pull) }
}

func accessory(off bool) func(*Bench, []string) error {
	return func(b *Bench, m []string) error { return b.accessoryWires(m[0], off) }
}
