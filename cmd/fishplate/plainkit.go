package main

import (
	"fmt"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
)

// assumed says, in one line, what a hunt begins with where nobody told it: a
// pipe goes on, a person changes it by one word.
func (s *plainSession) assumed() {
	s.say("I take it you have %s. To change that type kit.", gear.Says(&s.kit, s.src.layout))
}

// kitQuestion is one thing that is asked of the kit.
type kitQuestion struct {
	ask func(k *hunt.Kit) string // with what Enter stands for
	// take puts an answer, in lower case and never empty, into the kit.
	take func(k *hunt.Kit, answer string) error
	skip func(k *hunt.Kit) bool // it need not be asked
}

// askKit asks for the kit, one question at a time. show says whether the step
// is to be shown again.
func (s *plainSession) askKit() (show, done bool) {
	k := s.kit
	ac := gear.AC(s.src.layout)
	set, why := gear.Recommended(ac)
	s.say("Recommended: %s: %s.", set, why)
	best := k
	gear.Recommend(&best, ac)
	s.say("To buy: %s.", gear.Buy(&best, s.src.layout))
	has := false
	questions := append([]kitQuestion{{
		func(*hunt.Kit) string {
			return "Do you have these, and a meter with a beeper, ohms, volts, and 200 mV on DC? Enter: yes."
		},
		func(_ *hunt.Kit, a string) (err error) { has, err = yesNo(a); return err }, nil,
	}}, kitQuestions(ac, func() bool { return has })...)
	for i := range questions {
		q := &questions[i]
		if i == 0 {
			has = true // what Enter stands for
		}
		if i == 1 {
			gear.Recommend(&k, ac) // what Enter stands for from here
		}
		if q.skip != nil && q.skip(&k) {
			continue
		}
		if ended, quit := s.askOne(q, &k); ended {
			return true, quit
		}
	}
	if err := s.hunt.Own(k); err != nil {
		s.say("%v.", err)
		return false, false
	}
	s.kit = k
	if s.hunt.View().Symptom != nil {
		s.save()
	}
	s.say("You have %s.", gear.Says(&k, s.src.layout))
	for _, m := range gear.Mind(&k, s.src.layout, s.hunt.View().Symptom) {
		s.say("Mind: %s.", m)
	}
	return true, false
}

// askOne asks until the answer makes sense. ended says that nothing more is to
// be asked: the input is over, or the person leaves.
func (s *plainSession) askOne(q *kitQuestion, k *hunt.Kit) (ended, quit bool) {
	for {
		s.say("%s", q.ask(k))
		answer, err := s.prompt("kit")
		if err != nil {
			return true, false // the end of the input shows itself again
		}
		answer = strings.ToLower(answer)
		switch answer {
		case "":
			return false, false
		case "quit", "q":
			s.leave()
			return true, true
		}
		if err := q.take(k, answer); err != nil {
			s.say("%v.", err)
			continue
		}
		return false, false
	}
}

func yesNo(a string) (bool, error) {
	switch a {
	case "yes", "y", "1":
		return true, nil
	case "no", "n", "0":
		return false, nil
	}
	return false, fmt.Errorf("%q is not understood; type yes or no", a)
}

// kitQuestions are those behind the first; most need no answer from someone who
// has the recommended set.
func kitQuestions(ac bool, has func() bool) []kitQuestion {
	known := func(*hunt.Kit) bool { return has() }
	waves := false // the dial reads millivolts on AC alone: no battery's
	return []kitQuestion{
		{func(*hunt.Kit) string {
			return "On the meter's dial, beside 200 mV or 400 mV: a straight bar over dashes (DC), a wave (AC), " +
				"both, or none? Enter: bar."
		}, func(k *hunt.Kit, a string) error {
			r, ok := map[string]gear.Range{"bar": gear.BarOnly, "dc": gear.BarOnly, "wave": gear.WaveOnly,
				"ac": gear.WaveOnly, "both": gear.BarAndWave, "none": gear.NoRange, "no": gear.NoRange}[a]
			if !ok {
				return fmt.Errorf("%q is not understood; type bar, wave, both or none", a)
			}
			gear.SetRange(k, r, ac)
			if waves = r == gear.WaveOnly; waves {
				gear.SetFeed(k, gear.OwnSupply)
			}
			return nil
		}, known},
		{func(*hunt.Kit) string {
			return "What else has the meter: beeper, ohms, volts, amps? Enter: beeper, ohms, volts; or list them, or " +
				"none."
		}, takeMeter, known},
		{func(k *hunt.Kit) string {
			enter := "a lamp, nobody knows what is on it"
			if l := gear.Of(k); l.Known() {
				enter = l.String()
			}
			return "A lamp: what is written on it, as in 21W 12V, or 2 x 21W 12V in series? Enter: " + enter +
				"; unknown; no: no lamp."
		}, func(k *hunt.Kit, a string) error {
			if a == "no" || a == "none" {
				k.Lamp = false
				return nil
			}
			l, err := gear.ReadLamp(a)
			if err == nil {
				l.Into(k)
			}
			return err
		}, nil},
		{func(k *hunt.Kit) string {
			enter := map[gear.Feed]string{gear.Battery: "battery", gear.PowerPack: "pack",
				gear.OwnSupply: "transformer"}[gear.FeedOf(k)]
			return "What feeds the lamp: battery, pack (a DC power pack), or transformer? Its volts may follow, as " +
				"in pack 14. Enter: " + enter + "."
		}, takeFeed, func(k *hunt.Kit) bool { return !ac || !k.Lamp || waves }},
		{func(k *hunt.Kit) string {
			return "How far does one lead of the meter reach? Enter: " + gear.Metres(k.Lead()) + "."
		}, func(k *hunt.Kit, a string) error {
			m, err := gear.ReadLead(a)
			if err == nil {
				k.LeadMetres = m
			}
			return err
		}, known},
		{func(*hunt.Kit) string { return "A wire to lengthen a lead, yes or no? Enter: no." },
			func(k *hunt.Kit, a string) (err error) { k.Extension, err = yesNo(a); return err }, known},
		{func(k *hunt.Kit) string {
			return "How are readings chosen? " + gear.MethodSays + ". Enter: " + gear.MethodOf(k) + "."
		}, func(k *hunt.Kit, a string) (err error) { k.Bisect, err = gear.ReadMethod(a); return err }, known},
	}
}

// takeMeter takes a list of what a meter has; its millivolts were asked before.
func takeMeter(k *hunt.Kit, a string) error {
	now := *k
	now.Beeper, now.Ohms, now.Volts, now.Amps = false, false, false, false
	for _, w := range strings.Fields(strings.ReplaceAll(a, ",", " ")) {
		if w == "none" || w == "no" || w == "and" {
			continue
		}
		if !setHas(&now, w) {
			return fmt.Errorf("%q is none of beeper, ohms, volts, amps", w)
		}
	}
	*k = now
	return nil
}

// takeFeed takes what feeds the lamp, and its volts.
func takeFeed(k *hunt.Kit, a string) error {
	word, volts, _ := strings.Cut(a, " ")
	f, ok := map[string]gear.Feed{"battery": gear.Battery, "pack": gear.PowerPack, "dc": gear.PowerPack,
		"transformer": gear.OwnSupply}[word]
	if !ok {
		return fmt.Errorf("%q is not understood; type battery, pack or transformer", word)
	}
	if volts == "" || f == gear.OwnSupply {
		gear.SetFeed(k, f)
		return nil
	}
	v, err := gear.ReadDC(volts)
	if err == nil {
		gear.SetFeed(k, f)
		k.DCVolts = v
	}
	return err
}
