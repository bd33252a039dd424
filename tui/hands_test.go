package tui

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
)

// hands sit before the screen and a drawn bench. They know nothing but what the
// screen says: they turn its leaves, do its steps word by word, put the probes
// where its words say, and type what the meter shows.
type hands struct {
	t      *testing.T
	a      *app
	table  *trial.Evening
	place  map[string]string // the words of a place -> its name on the bench
	bad    []string          // the pieces at which a look finds something
	rng    *rand.Rand
	asks   int
	frames []string // what was read last
	log    []string
}

// evening is a fault hidden on a layout, and what its people saw.
type evening struct {
	file  string
	kit   hunt.Kit
	amps  float64 // of the lamp, where nothing is written on it
	mode  track.FaultMode
	place string // of the fault: a piece, or a joint
	ohms  float64
	saw   []string // keys
	at    string   // the place that was said, "" for a short
}

// atBench lays the table for an evening and shows the screen in w by h.
func atBench(t *testing.T, c evening, w, h int) *hands {
	text, err := os.ReadFile("../testdata/layouts/" + c.file)
	require.NoError(t, err)
	f, problems := layoutfile.Read(c.file, text)
	require.NotNil(t, f, "%v", problems)
	sick := hunt.Symptom{Kind: map[track.FaultMode]hunt.SymptomKind{track.Bridged: hunt.SymptomShort,
		track.Open: hunt.SymptomDead, track.Weak: hunt.SymptomWeak}[c.mode], At: c.at}
	s := suspect(t, f.Layout, c.mode, c.place)
	e, err := trial.Lay(trial.Table{File: f.Layout, Kit: c.kit, Symptom: sick, Meter: simulate.CheapMeter(),
		LampAmps: c.amps,
		Hidden:   []simulate.Fault{{Suspect: s, Ohms: c.ohms, Position: 0.4}}},
		rand.New(rand.NewPCG(14, uint64(len(c.place)))))
	require.NoError(t, err)
	o := Options{Layout: f.Layout, Kit: c.kit, KitKnown: true, OneKey: 1}
	o.defaults()
	x := &hands{t: t, a: newApp(o), table: e, bad: []string{s.Piece}, place: map[string]string{}}
	x.names(e.Bench.Network())
	settle(x.a, x.a.Init())
	send(x.a, tea.WindowSizeMsg{Width: w, Height: h})
	press(x.a, c.saw...)
	return x
}

// suspect is the first of a kind that lies at a place.
func suspect(t *testing.T, l *track.Layout, mode track.FaultMode, place string) fault.Suspect {
	n, err := conductor.Build(l)
	require.NoError(t, err)
	for _, s := range fault.List(n) {
		if s.Mode == mode && s.Place == place && (mode == track.Bridged || s.Rail == "center") {
			return s
		}
	}
	require.Fail(t, "nothing to hide there", place)
	return fault.Suspect{}
}

var notLetters = regexp.MustCompile(`[^\pL\pN]+`)

// letters is what of a sentence is left where lines may break anywhere.
func letters(s string) string { return strings.ToLower(notLetters.ReplaceAllString(s, "")) }

// leaves turns the leaves of a reading and gives each.
func (x *hands) leaves() []string {
	for range 8 {
		press(x.a, "up")
	}
	return x.turn("down")
}

// turn turns leaves with a key, until the same comes again.
func (x *hands) turn(key string) (out []string) {
	for range 12 {
		frame := trimmed(x.a.View())
		if slices.Contains(out, frame) {
			break
		}
		out = append(out, frame)
		press(x.a, key)
	}
	return out
}

var stepLine = regexp.MustCompile(`^ ?(\d+)  (\S.*)$`)

// steps reads the numbered steps off leaves; a drawing of the lamp may stand beside
// them. No step is parted by the end of a leaf.
func (x *hands) steps(leaves []string) (out []string) {
	x.frames = leaves
	for _, frame := range leaves {
		open, w := false, x.a.w
		for line := range strings.Lines(frame) {
			if i := strings.Index(line, "THE LAMP\n"); i > 0 { // beside, from here on
				w = len([]rune(line[:i]))
			}
			r := []rune(strings.TrimRight(line, "\n"))
			line = strings.TrimRight(string(r[:min(len(r), w)]), " ")
			m := stepLine.FindStringSubmatch(line)
			switch {
			case m != nil && m[1] == fmt.Sprint(len(out)+1):
				out, open = append(out, m[2]), true
			case m == nil && open && strings.HasPrefix(line, "    "):
				out[len(out)-1] += " " + strings.TrimSpace(line)
			default:
				open = false
			}
		}
	}
	return out
}

func (x *hands) said(format string, args ...any) { x.log = append(x.log, fmt.Sprintf(format, args...)) }

// do does the steps that leaves say.
func (x *hands) do(leaves []string) { x.does(x.steps(leaves)) }

// does does steps word by word.
func (x *hands) does(steps []string) {
	for _, s := range steps {
		x.log = append(x.log, "  - "+s)
		was := len(x.table.Bench.Hazards())
		err := x.table.Bench.Do(s)
		if bare, _, ok := strings.Cut(s, ": "); err != nil && ok { // what to count a joint from
			err = x.table.Bench.Do(bare)
		}
		require.NoError(x.t, err, strings.Join(x.log, "\n")+strings.Join(x.frames, "\n"))
		require.Empty(x.t, x.table.Bench.Hazards()[was:], strings.Join(x.log, "\n"))
	}
}

// probe finds the place that the words behind a label mean. What both probes share is
// said of the red one, whose place's name is given for the black one.
func (x *hands) probe(leaf, label, end, red string) string {
	same, near := "", ""
	if red != "" {
		d := x.words(red)
		same, near = letters(d.Where), letters(d.Near)
	}
	_, rest, ok := strings.Cut(leaf, "\n"+label+" ")
	require.True(x.t, ok, "no %s in\n%s", label, leaf)
	rest, _, _ = strings.Cut(rest, "\n"+end)
	said := letters(rest)
	best, name := 0, ""
	for words, n := range x.place { // the longest that it begins with: a drawing may follow
		if strings.HasPrefix(said, words) && len(words) > best {
			best, name = len(words), n
		}
	}
	if i := strings.Index(rest, "same place"); name == "" && i >= 0 {
		what := letters(rest[:i])
		for words, n := range x.place {
			if strings.HasPrefix(words, what) && strings.Contains(words, same) && len(words) > best {
				best, name = len(words), n
			}
		}
	}
	for words, n := range x.place { // across a joint both are counted from the same thing
		what, counted := strings.CutSuffix(words, near)
		if near != "" && counted && strings.HasPrefix(said, what) && len(what) > best {
			best, name = len(what), n
		}
	}
	require.NotEmpty(x.t, name, "%s in\n%s", label, leaf)
	return name
}

// words are those of a place.
func (x *hands) words(name string) spot.Words {
	return spot.Describe(x.a.sc.Layout, spot.Parse(x.a.sc.Layout, name))
}

// answer takes the reading that the screen asks for and types it.
func (x *hands) answer() {
	leaves := x.leaves()
	x.do(leaves)
	last := leaves[len(leaves)-1]
	if strings.Contains(last, "THE LAMP IS") {
		seen, err := x.table.Bench.Seen()
		require.NoError(x.t, err)
		x.log = append(x.log, "lamp "+string(seen))
		press(x.a, string(seen), "enter")
		return
	}
	red := x.probe(last, "RED", "BLACK ", "")
	black := red
	if !strings.Contains(letters(last), letters(hunt.TipToTip)) {
		black = x.probe(last, "BLACK", "\n", red)
	}
	text, err := x.table.Bench.Read(red, black)
	require.NoError(x.t, err, strings.Join(x.log, "\n")+last)
	x.log = append(x.log, fmt.Sprintf("red %s, black %s: %s", red, black, text))
	press(x.a, text, "enter")
}

// look looks at the first piece that the screen names.
func (x *hands) look() {
	leaves := x.turn("enter")
	x.do(leaves)
	named := regexp.MustCompile(`LOOK AT\s+(.+?)\s{2,}`).FindStringSubmatch(leaves[0])
	require.NotNil(x.t, named, leaves[0])
	piece := strings.TrimSpace(named[1])
	x.table.Bench.Look(piece)
	if !slices.Contains(x.bad, piece) {
		x.log = append(x.log, "look at "+piece+": good")
		press(x.a, "n", "enter")
		return
	}
	x.log = append(x.log, "look at "+piece+": there it is")
	x.table.Found = true
	x.bad = slices.DeleteFunc(x.bad, func(b string) bool { return b == piece })
	x.table.Bench.Mend(func(s *fault.Suspect) bool { return s.Piece == piece })
	press(x.a, "f", "enter")
}

// A person who knows nothing but what the screen says finds the short that is
// hidden on the bench, and proves the repair, without a hand in danger.
func TestHuntPlayedFromTheScreen(t *testing.T) {
	p21w := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true,
		LampWatts: 21, LampVolts: 12}
	unknown := p21w
	unknown.LampWatts, unknown.LampVolts = 0, 0
	transformer := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	beeper := hunt.Kit{Beeper: true}
	twoInARow := p21w
	twoInARow.DCVolts, twoInARow.Battery, twoInARow.LampsInSeries = 0, false, 2
	evenings := []evening{
		{file: "loop.hcl", kit: p21w, place: "main 9"},
		{file: "loop.hcl", kit: unknown, amps: 0.6, place: "main 17"},
		{file: "yard.hcl", kit: p21w, place: "yard2 4"},
		{file: "yard.hcl", kit: unknown, amps: 2.1, place: "lead 9"},
		{file: "two-supplies.hcl", kit: unknown, amps: 1.3, place: "outer 9"},
		{file: "shelf-two-rail.hcl", kit: p21w, place: "back 4"},
		{file: "shelf-two-rail.hcl", kit: twoInARow, place: "main 9"},
		{file: "loop-siding.hcl", kit: transformer, amps: 1.6, place: "main 6"},
		{file: "panel-loop.hcl", kit: p21w, place: "main 20"},
		{file: "dead-end.hcl", kit: beeper, place: "main 7"},
		{file: "dead-end.hcl", kit: transformer, mode: track.Open, place: "main 9/10", at: "main 14", ohms: math.Inf(1),
			saw: []string{"4", "main 14", "enter"}},
		{file: "dead-end.hcl", kit: transformer, mode: track.Weak, place: "main 9/10", at: "main 14", ohms: 1.5,
			saw: []string{"3", "main 14", "enter"}},
		// two lamps in series on 18 V
		{file: "dead-end.hcl", kit: p21w, mode: track.Weak, place: "main 9/10", at: "main 14", ohms: 1.5,
			saw: []string{"3", "main 14", "enter"}},
	}
	if testing.Short() {
		evenings = evenings[:1]
	}
	for _, c := range evenings {
		if c.mode == "" {
			c.mode, c.ohms, c.saw = track.Bridged, 0.1, []string{"1"}
		}
		for _, size := range [][2]int{{80, 24}, {40, 15}} {
			x := atBench(t, c, size[0], size[1])
			for range 60 {
				switch {
				case x.a.at == scene.Caution:
					press(x.a, "enter")
				case x.a.sc.View.Step.Ask != nil && x.a.at == scene.Hunt:
					x.answer()
				case x.a.sc.View.Step.Inspect != nil:
					x.look()
				case x.a.sc.View.Step.Done != nil && x.a.sc.View.Step.Done.Prove != nil:
					x.answer()
				}
				if d := x.a.sc.View.Step.Done; d != nil && d.Prove == nil {
					break
				}
			}
			d := x.a.sc.View.Step.Done
			require.NotNil(t, d, "%s %v %s", c.file, size, strings.Join(x.log, "\n"))
			require.True(t, d.Proven, "%s %v %s", c.file, size, strings.Join(x.log, "\n"))
			t.Logf("%s, %s, %v:\n%s", c.file, c.place, size, strings.Join(x.log, "\n"))
		}
	}
}
