package invent

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Wired is a random layout with everything that lies under a table: two
// supplies with joined commons, a bus and a strip, toggles of every kind, feeders on
// all of them, accessories on the track and off it, an insulated rail on
// three-rail track, and wyes, three-way and sensing turnouts and slips among its
// pieces. The
// same state of rng gives the same text.
func Wired(rng *rand.Rand) string {
	construction := Constructions[rng.IntN(len(Constructions))]
	three := !strings.HasPrefix(construction, "two-rail")
	w := &wired{rng: rng}
	text := head("wired", construction) + w.runs(construction == "metal-tie", three)
	text += supply("T1") + fmt.Sprintf("supply \"T2\" {\n  current = \"ac\"\n  volts   = 14\n  breaker = 5\n  common "+
		" = \"T1\"\n%s}\n",
		pick(rng, "", "  phase = \"in phase\"\n", "  phase = \"reversed\"\n"))
	text += fmt.Sprintf("bus \"B1\" {\n  supply    = \"T1\"\n  terminals = %d\n  wire      = \"14 AWG\"\n  length    "+
		"= \"%d ft\"\n}\n", 2+rng.IntN(3), 3+rng.IntN(20))
	text += fmt.Sprintf("strip \"P1\" {\n  %s\n  terminals = %d\n  wire      = \"0.75 mm2\"\n  length    = \"1 "+
		"m\"\n}\n", w.hang(), 1+rng.IntN(4))
	text += fmt.Sprintf("toggle \"S1\" {\n  %s\n  switches = %q\n}\n", w.hang(),
		pick(rng, "hot", "common", "both", "reverse"))
	text += fmt.Sprintf("toggle \"S2\" {\n  supply = \"T1\"\n  other  = \"T2\"\n  switches = %q\n}\n",
		pick(rng, "hot", "both"))
	w.toggles = true
	text += feeder("F1", "main 1/2", "T1", 4)
	for i, at := range []string{"main 3", "main 4/5", "main 5/4"} {
		text += fmt.Sprintf("feeder \"F%d\" {\n  at     = %q\n  %s\n  wire   = \"16 AWG\"\n  length = \"%d ft\"\n}\n",
			i+2, at, w.hang(), 1+rng.IntN(9))
	}
	text += w.loads()
	text += fmt.Sprintf("insulated \"main 4/5\" { rails = [%q] }\n", pick(rng, "left", "right"))
	if three {
		text += w.rail()
	}
	return w.vary(text)
}

// vary makes some pieces and parts of another form: it draws last, so that the
// rest stays what it was.
func (w *wired) vary(text string) string {
	for _, c := range [][2]string{
		{"slip 22.5 length", "slip 22.5 single length"},
		{"bus \"B1\" {\n", "bus \"B1\" {\n  ring      = \"6 ft\"\n"},
		{"  other  = \"T2\"\n", "  other  = \"T2\"\n  middle = \"off\"\n  usually = \"" + pick(w.rng, "on", "off",
			"middle") + "\"\n"},
		{"turnout right diameter 31 angle 45 as W1", "turnout three-way diameter 31 angle 45 as W1"},
	} {
		if w.rng.IntN(2) == 0 {
			text = strings.Replace(text, c[0], c[1], 1)
		}
	}
	if strings.Contains(text, "three-way") {
		text += "run \"third\" {\n  from = \"W1 third\"\n  pieces = [\"2 x straight 6\", \"bumper\"]\n}\n"
	}
	return text
}

type wired struct {
	rng     *rand.Rand
	toggles bool // they may be named
}

func pick(rng *rand.Rand, words ...string) string { return words[rng.IntN(len(words))] }

// hang says what a pair of wires hangs on.
func (w *wired) hang() string {
	switch k := w.rng.IntN(4); {
	case k == 0 && w.toggles:
		return pick(w.rng, `toggle = "S1"`, `toggle = "S2"`)
	case k == 1:
		return pick(w.rng, `supply = "T1"`, `supply = "T2"`)
	}
	return fmt.Sprintf("bus = \"B1\"\n  terminal = %d", 1+w.rng.IntN(2))
}

// runs is a main line with pieces of every form and the runs that leave it.
func (w *wired) runs(tied, three bool) string {
	untied, sensing := "", ""
	if tied {
		untied = " untied"
	}
	if three && w.rng.IntN(2) == 0 {
		sensing = " sensing"
	}
	form := pick(w.rng, "wye diameter 31 angle 22.5", "left diameter 31 angle 30 curved diameter 54",
		"right diameter 31 angle 45")
	main := []string{"5 x straight 8", "straight 5", "2 x straight 8" + untied, "straight 7",
		"turnout " + form + sensing + " as W1", "straight 4",
		"slip 22.5 length 12 as D1", "2 x straight 9"}
	return fmt.Sprintf("run \"main\" {\n  closes = %v\n  pieces = [\"%s\"]\n}\n", w.rng.IntN(2) == 0,
		strings.Join(main, `", "`)) +
		"run \"leg\" {\n  from = \"W1 diverging\"\n  pieces = [\"straight 6\", \"bumper\"]\n}\n" +
		"run \"back\" {\n  from = \"D1 b1\"\n  pieces = [\"2 x straight 6\", \"bumper\"]\n}\n"
}

func (w *wired) loads() string {
	text := ""
	for i, at := range []string{"at = \"back 2\"", "at = \"main 6/7\"", w.hang()} {
		text += fmt.Sprintf("accessory \"load %d\" {\n  kind  = %q\n  volts = 14\n  amps  = %g\n  %s\n}\n", i+1,
			pick(w.rng, "lamp", "bumper", "signal", "relay", "motor", "led"), 0.1+float64(w.rng.IntN(8))/10, at)
	}
	return text
}

// rail is an insulated rail on the seventh and the eighth piece.
func (w *wired) rail() string {
	side := pick(w.rng, "left", "right")
	return fmt.Sprintf("insulated \"main 6/7\" { rails = [%[1]q] }\ninsulated \"main 8/9\" { rails = [%[1]q] }\n",
		side) +
		fmt.Sprintf("accessory \"gate\" {\n  kind  = \"motor\"\n  volts = 14\n  amps  = 0.8\n  %s\n}\n", w.hang()) +
		fmt.Sprintf("insulated_rail \"road\" {\n  rail  = %q\n  from  = \"main 6/7\"\n  to    = \"main 8/9\"\n  tap  "+
			" = \"main 7/8\"\n  works = \"gate\"\n}\n", side)
}
