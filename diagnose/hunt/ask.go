package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// questionKey tells questions apart.
func questionKey(q *infer.Question) string {
	return fmt.Sprintf("%s %d %d %s", q.Func, q.Red, q.Black, q.Setup.Key())
}

// pairKey tells pairs of points apart: what cannot be reached with one dial
// setting cannot with another.
func pairKey(red, black int) string { return fmt.Sprintf("at %d %d", min(red, black), max(red, black)) }

// obsKey is the key of the question that a reading answered.
func obsKey(o *infer.Observation) string {
	return questionKey(&infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black})
}

// ask writes a question out for the user.
func (h *Hunt) ask(q *infer.Question, o *infer.Outlook, now conductor.Setup) *Ask {
	a := &Ask{N: len(h.obs) + 1, Meter: string(q.Func), Red: h.net.Points[q.Red].Name, Black: h.net.Points[q.Black].Name,
		Setup: SetupOf(h.net, &q.Setup), Minutes: math.Round(q.Minutes*10) / 10, Expect: []Outcome{}, Dial: h.dial(q.Func)}
	if o != nil {
		a.Bits = math.Round(o.Bits*100) / 100
		a.Expect = h.outcomes(q, o)
		a.Why = h.why(q, o, a.Expect)
	}
	return a
}

// dial names the meter setting.
func (h *Hunt) dial(f meter.Function) string {
	kind := "DC"
	if h.ac() {
		kind = "AC"
	}
	switch f {
	case meter.Beeper:
		return "continuity (beeper)"
	case meter.Ohms:
		return "ohms, lowest range"
	case meter.Millivolts:
		return kind + " millivolts (lowest range)"
	case meter.Volts:
		return kind + " volts"
	}
	return kind + " " + string(f)
}

// outcomes puts what a reading may show into a few rows that no reading is in
// two of.
func (h *Hunt) outcomes(q *infer.Question, o *infer.Outlook) []Outcome {
	all := 0.0
	for _, w := range o.Weight {
		all += w
	}
	part := func(of func(i int) float64) (mass []float64, p float64) {
		for i, w := range o.Weight {
			mass = append(mass, w*of(i))
			p += w * of(i)
		}
		return mass, p / all
	}
	if q.Func == meter.Beeper {
		beep, p := part(func(i int) float64 { return o.Beep[i] })
		silent, _ := part(func(i int) float64 { return 1 - o.Beep[i] })
		return []Outcome{{"beep", round2(p), h.meaning(o, beep)}, {"silent", round2(1 - p), h.meaning(o, silent)}}
	}
	rows := []Outcome{}
	if over, p := part(func(i int) float64 { return o.Over[i] }); p >= seldom {
		rows = append(rows, Outcome{"OL", round2(p), h.meaning(o, over)})
	}
	return append(rows, h.numberRows(q, o, all)...)
}

// seldom is how seldom an outcome may come up before it has no row.
const seldom = 0.005

// numberRows are the rows of a reading that is a number.
func (h *Hunt) numberRows(q *infer.Question, o *infer.Outlook, all float64) []Outcome {
	m := h.mixtureOf(q, o)
	if len(m.rows) == 0 {
		return nil
	}
	var out []Outcome
	from := math.Inf(-1)
	for _, to := range append(m.borders(), math.Inf(1)) {
		inside, sum := m.between(from, to)
		if sum >= seldom*all {
			mass := make([]float64, len(o.Weight))
			for k, i := range m.rows {
				mass[i] = inside[k]
			}
			out = append(out, Outcome{m.showing(from, to, unit.Setting(q.Func).Unit()), round2(sum / all), h.meaning(o, mass)})
		}
		from = to
	}
	return out
}

func round2(x float64) float64 { return math.Round(x*100) / 100 }

// why explains the choice in the user's terms, with figures.
func (h *Hunt) why(q *infer.Question, o *infer.Outlook, rows []Outcome) string {
	worth := fmt.Sprintf(" (%.1f bits in %s)", o.Bits, unit.FormatMinutes(q.Minutes))
	switch {
	case q.Func == meter.Beeper && len(rows) == 2:
		why := fmt.Sprintf("splits what is left %.0f to %.0f in a hundred", 100*rows[0].P, 100*rows[1].P)
		if h.tellsRail(o) {
			why += ", and tells rail from rail"
		}
		return why + worth
	case q.Setup.Source.Kind == conductor.SourceLamp && (q.Func == meter.Millivolts || q.Func == meter.Volts):
		return "the lamp's current drops the same from piece to piece until it reaches the short (on a loop from both sides), and nothing past it: the more it shows, the more of the way to the short lies between the probes" + worth
	case len(q.Setup.Loads) > 0:
		return "under load a bad contact drops volts of its own, far more than sound track does: read where they are lost" + worth
	}
	return "of all readings now possible this one tells most for its time" + worth
}
