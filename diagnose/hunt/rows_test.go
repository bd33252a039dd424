package hunt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// shownAnswer is what a meter may show, as it is typed and as it is read.
type shownAnswer struct {
	text string
	r    unit.Reading
	err  error
}

// answers are the displays that were read already: every ask of a dial is held to
// the same ones.
var answers = map[string][]shownAnswer{}

func answersOf(m *meter.Meter, setting string, negative bool) []shownAnswer {
	key := fmt.Sprintf("%s %v %+v", setting, negative, m.Of(meter.Function(setting)))
	if answers[key] == nil {
		for _, text := range display(m, setting, negative) {
			r, err := unit.Parse(text, unit.Setting(setting))
			answers[key] = append(answers[key], shownAnswer{text, r, err})
		}
	}
	return answers[key]
}

// display lists what a meter may show on a setting, as it is typed: every step
// of every range of 2,000 counts, negative ones too where it shows them, and
// over the limit.
func display(m *meter.Meter, setting string, negative bool) []string {
	switch setting {
	case "beeper":
		return []string{"beep", "no", "OL"}
	case "lamp":
		return []string{"bright", "glowing", "dark"}
	}
	r, symbol := m.Of(meter.Function(setting)), map[string]string{"ohms": "ohm", "volts": "V", "millivolts": "V",
		"amps": "A"}[setting]
	out := []string{"OL", "0 " + symbol}
	digits := int(math.Round(-math.Log10(r.Step)))
	for first := 1; r.Step*math.Pow10(-digits)*math.Pow10(digits) <= r.Over[1] && digits > -7; first, digits = 200,
		digits-1 {
		for count := first; count < 2000; count++ {
			text := strconv.FormatFloat(float64(count)*math.Pow10(-digits), 'f', max(digits, 0), 64) + " " + symbol
			if out = append(out, text); negative {
				out = append(out, "-"+text)
			}
		}
		if float64(2000)*math.Pow10(-digits) > r.Over[1] {
			break
		}
	}
	return out
}

// partition fails where an answer that the meter may show is in no row of an
// ask or in two, or where the words of a row say other numbers than its bounds.
func partition(t *testing.T, a *hunt.Ask, m *meter.Meter, ac bool, where string) {
	sum := 0.0
	for i := range a.Expect {
		sum += a.Expect[i].P
		require.NotEmpty(t, a.Expect[i].Means, where)
		worded(t, &a.Expect[i], a.Meter, where)
	}
	require.InDelta(t, 1, sum, 0.021, "%s: the rows come up %v", where, a.Expect)
	for _, x := range answersOf(m, a.Meter, !ac && a.Meter != "ohms") {
		text, r, err := x.text, x.r, x.err
		rows := 0
		for i := range a.Expect {
			if a.Expect[i].Has(r) {
				rows++
			}
		}
		if row, ok := a.Outcome(r); err != nil || rows != 1 || !ok || !row.Has(r) {
			require.Failf(t, "no partition", "%s: %s is in %d of %s (%v)", where, text, rows, shown(a), err)
		}
	}
}

func shown(a *hunt.Ask) string {
	var rows []string
	for _, o := range a.Expect {
		rows = append(rows, o.Shows)
	}
	return strings.Join(rows, " | ")
}

const number = `(-?[\d.]+(?: [a-zA-Z]+)?)`

var rowWords = regexp.MustCompile(`^(?:under ` + number + `|` + number + ` to under ` + number + `|` + number +
	` or more)(?:, or OL)?(?:, or it wanders)?$`)

// worded reads the words of a row and compares them with its bounds.
func worded(t *testing.T, o *hunt.Outcome, setting, where string) {
	if o.From == nil && o.To == nil {
		return
	}
	w := rowWords.FindStringSubmatch(o.Shows)
	require.NotNil(t, w, "%s: %q", where, o.Shows)
	read := func(text, symbol string) float64 {
		if !strings.Contains(text, " ") {
			text += symbol
		}
		r, err := unit.Parse(text, unit.Setting(setting))
		require.NoError(t, err, where)
		return r.Value
	}
	symbol := ""
	if i := strings.LastIndex(w[3], " "); i >= 0 {
		symbol = w[3][i:]
	}
	switch {
	case w[1] != "":
		require.Nil(t, o.From, where)
		require.InDelta(t, read(w[1], ""), *o.To, 0, where)
	case w[2] != "":
		require.InDelta(t, read(w[2], symbol), *o.From, 0, where)
		require.InDelta(t, read(w[3], ""), *o.To, 0, where)
	default:
		require.Nil(t, o.To, where)
		require.InDelta(t, read(w[4], ""), *o.From, 0, where)
	}
}

// Whatever the meter shows is in exactly one row of an ask: random hunts with
// random kits and answers, proofs included.
func TestRowsCoverWhatAMeterShows(t *testing.T) {
	hunts := 20
	switch {
	case testing.Short():
		hunts = 5
	case measured:
		hunts = 80
	}
	kinds := map[string]int{}
	for seed := range hunts {
		rng := rand.New(rand.NewPCG(uint64(seed), 77))
		text := invent.Random(rng)
		if seed%3 == 0 {
			text = invent.Wired(rng)
		}
		if seed%4 == 1 {
			text = strings.NewReplacer(`current = "ac"`, `current = "dc"`, `phase = "in phase"`, "",
				`phase = "reversed"`, "").Replace(text)
		}
		file, problems := layoutfile.Read("random", []byte(text))
		require.NotNil(t, file, "%v", problems) // the network closes, the plan need not
		l := file.Layout
		yes := func() bool { return rng.IntN(3) > 0 }
		kit := hunt.Kit{Beeper: yes(), Ohms: yes(), Volts: yes(), Millivolts: yes(), Amps: yes(), Lamp: yes(),
			Meter: []string{"", "dc-millivolts", "good"}[rng.IntN(3)]}
		offers := hunt.Offers(l)
		offer := offers[rng.IntN(len(offers))]
		sym := hunt.Symptom{Kind: offer.Kind, Sometimes: rng.IntN(5) == 0}
		switch {
		case len(offer.Names) > 0:
			sym.At = offer.Names[rng.IntN(len(offer.Names))]
		case offer.Kind != hunt.SymptomShort:
			sym.At = l.Pieces[rng.IntN(len(l.Pieces))].ID()
		}
		h := hunt.New(l, kit)
		if h.Apply(hunt.Event{Symptom: &sym}) != nil {
			continue
		}
		ac := l.Supplies[0].AC
		m, _ := meter.ByName(kit.Meter, ac)
		for n := range 14 {
			step, e := h.View().Step, hunt.Event{}
			ask := step.Ask
			switch {
			case step.Inspect != nil && rng.IntN(3) > 0:
				e.Found = step.Inspect.Pieces[0].Piece
			case step.Inspect != nil:
				e.NotFound = step.Inspect.Pieces[0].Piece
			case step.Done != nil:
				ask = step.Done.Prove
			}
			if ask == nil && step.Inspect == nil {
				break
			}
			if ask != nil {
				where := fmt.Sprintf("hunt %d (%s), step %d, %s: %s", seed, sym.Kind, n, ask.Meter, shown(ask))
				partition(t, ask, &m, ac, where)
				kinds[ask.Meter]++
				if step.Done != nil {
					kinds["proof"]++
				}
				values := answersOf(&m, ask.Meter, false)
				x := values[rng.IntN(len(values))]
				row := ask.Expect[rng.IntN(len(ask.Expect))]
				for range 50 { // an answer of some row, where one is found soon
					if x.err == nil && row.Has(x.r) {
						break
					}
					x = values[rng.IntN(len(values))]
				}
				e.Reading = x.text
			}
			require.NoError(t, h.Apply(e))
		}
	}
	t.Log(kinds)
	for _, want := range []string{"beeper", "ohms", "volts", "millivolts", "proof"} {
		require.Greater(t, kinds[want], 0, want)
	}
}
