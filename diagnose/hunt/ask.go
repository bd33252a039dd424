package hunt

import (
	"fmt"
	"math"
	"sort"
	"strings"

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
	a.Steps = h.steps(q, now)
	a.Cautions = h.cautions(q)
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

// outcomes puts the predictions into a few rows.
func (h *Hunt) outcomes(q *infer.Question, o *infer.Outlook) []Outcome {
	if q.Func == meter.Beeper {
		return h.beepOrSilent(o)
	}
	rows := h.openRow(o)
	var idx []int
	sum, all := 0.0, 0.0
	for i := range o.Weight {
		all += o.Weight[i]
		if !o.Open(i) {
			idx = append(idx, i)
			sum += o.Weight[i]
		}
	}
	sort.SliceStable(idx, func(a, b int) bool { return o.Mean[idx[a]] < o.Mean[idx[b]] })
	for _, c := range h.cutRows(q, o, idx, sum) {
		w := 0.0
		for _, i := range c {
			w += o.Weight[i]
		}
		rows = append(rows, Outcome{Shows: h.showing(q, o, c[0], c[len(c)-1]), P: round2(w / all), Means: h.namesOf(o, c)})
	}
	return rows
}

// cutRows cuts predictions, in order, into about three rows of equal weight;
// rows that no meter would tell apart are one.
func (h *Hunt) cutRows(q *infer.Question, o *infer.Outlook, idx []int, sum float64) [][]int {
	var out [][]int
	from := 0 // in idx, where the last row begins
	for lo := 0; lo < len(idx); {
		hi, acc := lo, 0.0
		for hi < len(idx) && (acc < sum/3 || hi == lo) && (hi == lo || !apart(o, idx[hi-1], idx[hi])) {
			acc += o.Weight[idx[hi]]
			hi++
		}
		if n := len(out); n > 0 && h.alike(q, o, out[n-1], idx[lo:hi]) {
			out[n-1] = idx[from:hi]
		} else {
			out, from = append(out, idx[lo:hi]), lo
		}
		lo = hi
	}
	return out
}

// alike says whether two rows look the same to whoever reads the meter.
func (h *Hunt) alike(q *infer.Question, o *infer.Outlook, a, b []int) bool {
	x := span{h.reach(o, q, a[0]).from, h.reach(o, q, a[len(a)-1]).to}
	y := span{h.reach(o, q, b[0]).from, h.reach(o, q, b[len(b)-1]).to}
	return overlap(x, y) > 0.6 || h.showing(q, o, a[0], a[len(a)-1]) == h.showing(q, o, b[0], b[len(b)-1])
}

// apart says whether two predictions, the lower first, are told apart at a
// glance: each then has a row of its own.
func apart(o *infer.Outlook, lo, hi int) bool {
	return o.Mean[hi]-o.Mean[lo] > 5*(o.SD[lo]+o.SD[hi])
}

// span is what the meter may show, from the least to the most.
type span struct{ from, to float64 }

// reach is the span of one prediction.
func (h *Hunt) reach(o *infer.Outlook, q *infer.Question, i int) span {
	s := span{o.Mean[i] - o.SD[i], o.Mean[i] + o.SD[i]}
	if h.engine.Model.AC || q.Func == meter.Ohms || q.Func == meter.Amps {
		s.from = math.Max(s.from, 0)
	}
	return s
}

// overlap is how much of the narrower of two spans lies in the other.
func overlap(a, b span) float64 {
	common := math.Min(a.to, b.to) - math.Max(a.from, b.from)
	return common / math.Max(math.Min(a.to-a.from, b.to-b.from), 1e-12)
}

// showing says what the meter shows between two predictions: "about 3 mV"
// where they are one to the eye, "under 5 mV" where the lower is nothing, else
// "12 to 20 mV".
func (h *Hunt) showing(q *infer.Question, o *infer.Outlook, lo, hi int) string {
	u := unit.Setting(q.Func).Unit()
	from, to := h.reach(o, q, lo).from, h.reach(o, q, hi).to
	a, b := unit.FormatDigits(from, u, 2), unit.FormatDigits(to, u, 2)
	number := func(s string) string { return strings.SplitN(s, " ", 2)[0] }
	switch {
	case a == b || to-from < 0.1*math.Abs(to):
		return "about " + unit.FormatDigits((from+to)/2, u, 2)
	case from == 0 || from >= 0 && from < 0.03*to:
		return "under " + b
	case strings.HasSuffix(a, strings.TrimPrefix(b, number(b))):
		return number(a) + " to " + b
	}
	return a + " to " + b
}

func (h *Hunt) openRow(o *infer.Outlook) []Outcome {
	var idx []int
	p, all := 0.0, 0.0
	for i := range o.Weight {
		all += o.Weight[i]
		if o.Open(i) {
			idx = append(idx, i)
			p += o.Weight[i]
		}
	}
	if p <= 0 {
		return []Outcome{}
	}
	return []Outcome{{Shows: "OL", P: round2(p / all), Means: h.namesOf(o, idx)}}
}

func (h *Hunt) beepOrSilent(o *infer.Outlook) []Outcome {
	var a, b []int
	pa, all := 0.0, 0.0
	for i := range o.Weight {
		all += o.Weight[i]
		pa += o.Weight[i] * o.Beep[i]
		if o.Beep[i] >= 0.5 {
			a = append(a, i)
		} else {
			b = append(b, i)
		}
	}
	return []Outcome{{Shows: "beep", P: round2(pa / all), Means: h.namesOf(o, a)}, {Shows: "silent", P: round2(1 - pa/all), Means: h.namesOf(o, b)}}
}

// namesOf says what a set of groups means, leaving out what hardly counts.
func (h *Hunt) namesOf(o *infer.Outlook, idx []int) string {
	top := 0.0
	for _, i := range idx {
		top = math.Max(top, o.Weight[i])
	}
	var classes []int
	for _, i := range idx {
		if o.Weight[i] >= 0.05*top {
			classes = append(classes, o.Members[i]...)
		}
	}
	if len(classes) == 0 {
		return "none of the likely places"
	}
	if names := h.spanNames(classes); names != infer.ClassOffTrack {
		return "the fault is in or near " + names
	}
	return "the fault is off the track"
}

func round2(x float64) float64 { return math.Round(x*100) / 100 }

// railTold is how many bits a beep tells of what is wrong, beyond those of which
// piece, from which that is said.
const railTold = 0.3

// why explains the choice in the user's terms, with figures.
func (h *Hunt) why(q *infer.Question, o *infer.Outlook, rows []Outcome) string {
	worth := fmt.Sprintf(" (%.1f bits in %s)", o.Bits, unit.FormatMinutes(q.Minutes))
	switch {
	case q.Func == meter.Beeper && len(rows) == 2:
		why := fmt.Sprintf("splits what is left %.0f to %.0f in a hundred", 100*rows[0].P, 100*rows[1].P)
		if !h.shortHunt() && o.Told > o.Bits+railTold {
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
