//go:build !windows

package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile"
)

// story is a layout from its first piece to a show: built in stages, wired with a panel,
// watched by health checks, hunted. The track and the meter are those of tabletop.
type story struct {
	t    *testing.T
	path string
	make func(testing.TB, uint64) *tabletop
	bad  string // a piece of stage three
	weak [2]string
	hid  string // a piece with a short, later

	asked []string // of the reading of a stage, its words
}

// told runs a command of the program and gives what it says.
func (s *story) told(answer func(said string) string, words ...string) string {
	s.t.Helper()
	var errs bytes.Buffer
	d := &dialogue{answer: answer}
	status := run(words, d, &d.out, &errs)
	require.Zero(s.t, status, "%v: %s%s", words, errs.String(), d.out.String())
	return d.out.String()
}

// dialogue is someone who reads what the program says, and answers when it waits.
type dialogue struct {
	out    bytes.Buffer
	read   int
	answer func(said string) string
	line   []byte
}

// Read is called where the program waits for a line: all that it has said stands in out.
func (d *dialogue) Read(p []byte) (int, error) {
	if len(d.line) == 0 {
		said := d.out.String()[d.read:]
		d.read = d.out.Len()
		if d.answer == nil {
			return 0, io.EOF
		}
		d.line = []byte(d.answer(strings.Join(strings.Fields(said), " ")) + "\n")
	}
	n := copy(p, d.line)
	d.line = d.line[n:]
	return n, nil
}

var (
	stopWords = regexp.MustCompile(`(?:clip lead across (.+?) left, center and right; )?red on (.+?), black on ` +
		`(.+?): (silent|beeps)`)
	lampWords  = regexp.MustCompile(`(?:Lay the lamp|and lay it) across (.+?) and (.+?), every evening`)
	probeWords = regexp.MustCompile(`Red probe: (.+?) Black probe: (.+)`)
	// placeWords are how a place is said, and its point's name made of that.
	placeWords = map[*regexp.Regexp]string{
		regexp.MustCompile(`^(CENTER|LEFT|RIGHT) rail, (?:joint|free end|middle of) ([^,]+)`): "$2 $1",
		regexp.MustCompile(`^(HOT|COMMON) (?:wires of|screw of) ([^,]+)`):                     "$2 $1",
	}
	clipWords = regexp.MustCompile(`^CLIP of (\S+) on the (CENTER|LEFT|RIGHT) rail`)
)

// pointSaid is the point that someone's probe goes to who is told a place.
func (w *tabletop) pointSaid(said string) string {
	if m := clipWords.FindStringSubmatch(said); m != nil {
		if strings.ToLower(m[2]) == w.hot {
			return m[1] + " hot"
		}
		return m[1] + " common"
	}
	for words, name := range placeWords {
		if m := words.FindStringSubmatch(said); m != nil {
			return strings.NewReplacer("$1", strings.ToLower(m[1]), "$2", m[2]).Replace(name)
		}
	}
	require.Failf(w.t, "nobody finds this place", "%q", said)
	return ""
}

// stop answers a reading of a stage by what it says.
func (s *story) stop(w *tabletop, said string) string {
	if m := stopWords.FindAllStringSubmatch(said, -1); len(m) > 0 {
		s.asked = m[len(m)-1]
	} else {
		require.Contains(s.t, said, "Read it again")
	}
	clip, red, black := s.asked[1], s.asked[2], s.asked[3]
	at := &state{}
	if clip != "" {
		at.across = []across{{clip + " left", clip + " center", 0.01}, {clip + " center", clip + " right", 0.01}}
	}
	if laid := w.laid; strings.HasPrefix(red, "T1 ") { // the feeders are joined for it
		w.laid = nil
		defer func() { w.laid = laid }()
	}
	red, black = strings.TrimSuffix(red, freeEnd), strings.TrimSuffix(black, freeEnd)
	if ohms := w.ohms(at, red, black); !math.IsInf(ohms, 1) {
		return w.show(ohms+leadOhms, 0.1, "ohm")
	}
	return "OL"
}

// freeEnd is said of a feeder's wire whose other end is on the track: while track is
// laid no feeder is joined to the supply.
const freeEnd = ", its free end"

var headWords = regexp.MustCompile(`(\d+)\. Stop after (\S+ \d+) \((\d+) pieces?\)(?:, with (.+?) still open)?:`)

// lays puts the pieces on the table that a stage names: those of its run as far as its
// last one, and of the runs before.
func (w *tabletop) lays(head []string) {
	upTo := head[2]
	for _, p := range w.order {
		w.laid[p] = true
		if p == upTo {
			break
		}
	}
	clear(w.shut)
	if head[4] != "" {
		w.shut[head[4]] = true
	}
}

// build lays the track in stages with a bridge hidden in stage three: that stage fails,
// the hunt on what is laid finds the piece, and mended all of it is proven.
func (s *story) build(seed uint64) {
	t, w := s.t, s.make(s.t, seed)
	w.laid = map[string]bool{}
	whole := slices.Clone(w.strands)
	w.wire(s.bad+" center", s.bad+" left", 0.2, s.bad)
	stage := ""
	hands := func(said string) string {
		switch {
		case strings.Contains(said, "Hunt now?"):
			return "yes"
		case strings.Contains(said, "Touch the leads"):
			return "0.3"
		case strings.HasSuffix(said, "> "), strings.HasSuffix(said, ">"):
			return "quit" // the hunt goes on below
		}
		if m := headWords.FindStringSubmatch(said); m != nil {
			stage = m[1]
			w.lays(m)
		}
		return s.stop(w, said)
	}
	out := s.told(hands, "build", s.path, "--ask")
	require.Contains(t, out, "Stop 3 fails.")
	require.Equal(t, "3", stage)
	half := strings.TrimSuffix(s.path, ".hcl") + ".stage3.hcl"
	w.feeder("bench-leads", strings.TrimSuffix(s.asked[2], " center"), 4*0.3048)
	c := s.hunts(w, half, s.bad)
	t.Logf("stage three fails; %s found with %d readings, looked at %v", s.bad, c.readings, c.looked)
	assert.LessOrEqual(t, len(c.looked), 2)

	w.strands = whole
	out = s.told(hands, "build", s.path, "--ask")
	assert.Contains(t, out, "Track and wires are proven")
	assert.NotContains(t, out, "fails.")
}

// chase is a hunt as far as it has come.
type chase struct {
	readings int
	onTrack  int // of them with a probe on the track
	looked   []string
	// block is what was believed first, when all that the block tells was read.
	block []string
}

// hunts goes on with the hunt that is kept, until one of some pieces is found.
func (s *story) hunts(w *tabletop, path string, bad ...string) *chase {
	t, c := s.t, &chase{}
	p := startProgram(t, path, "--resume")
	require.True(t, p.out.Scan())
	now := p.said()
	for range 60 {
		switch now.Type {
		case "start":
			now = p.send("symptom", "short")
		case "ask":
			if touches := onTrack(now.Red) || onTrack(now.Black); touches && now.Meter != "lamp" {
				if c.onTrack++; c.onTrack == 1 {
					c.block = p.believed()
				}
			}
			c.readings++
			shown := w.answer(&now.Ask)
			t.Logf("  %s, red %s, black %s, %v %v: %s", now.Meter, now.Red, now.Black, now.Setup.Source.Kind,
				now.Setup.Loads, shown)
			now = p.send("reading", shown)
		case "inspect":
			if c.onTrack == 0 {
				c.block = p.believed()
			}
			name := now.Pieces[0].Piece
			c.looked = append(c.looked, name)
			t.Logf("  look at %s", name)
			if slices.Contains(bad, name) {
				return c
			}
			now = p.send("not_found", name)
		default:
			require.Failf(t, "it ends", "%s %s, looked at %v, bad is %v", now.Type, now.Verdict, c.looked, bad)
		}
	}
	require.Fail(t, "the hunt does not end")
	return nil
}

// onTrack says whether a point can only be reached by kneeling: all but posts and block.
func onTrack(point string) bool {
	return !strings.HasPrefix(point, "T") && !strings.HasPrefix(point, "A") || strings.Contains(point, "/")
}

// believed are the pieces that a hunt believes in, the likeliest first.
func (s *session) believed() []string {
	var out []string
	for _, p := range s.send("show", "suspects").Pieces {
		out = append(out, p.Piece)
	}
	return out
}

// nightly answers a health check by what it says.
func (s *story) nightly(w *tabletop) func(said string) string {
	at, shown := &state{battery: 12.3, plus: "T1 hot"}, ""
	return func(said string) string {
		if m := lampWords.FindStringSubmatch(said); m != nil {
			at.across = []across{{m[1], m[2], 6.9}}
		}
		m := probeWords.FindStringSubmatch(said)
		switch {
		case strings.Contains(said, "what you type twice counts"):
			return shown
		case m == nil:
			return "" // whether to hunt
		}
		shown = w.show(w.volts(at, [2]string{w.pointSaid(m[1]), w.pointSaid(m[2])})[0]*1e3, 0.1, "mV")
		return shown
	}
}

// wireUp lets the program write two pairs of thin wires into the file, and solders them.
func (s *story) wireUp(seed uint64) *tabletop {
	w := s.make(s.t, seed)
	s.told(nil, "panel", s.path, "--wires", "2", "--write")
	text, err := os.ReadFile(s.path)
	require.NoError(s.t, err)
	f, problems := layoutfile.Read(s.path, text)
	require.NotNil(s.t, f, "%v", problems)
	require.Len(s.t, f.Layout.Terminals, 2)
	for i := range f.Layout.Terminals {
		x := &f.Layout.Terminals[i]
		w.thin(x.Name, f.Layout.PlaceName(x.At), x.LengthMM/1000)
		s.t.Logf("%s at %s", x.Name, f.Layout.PlaceName(x.At))
	}
	return w
}

// watch takes a baseline and quiet evenings, hides 50 mohm in a joint, and follows what
// the health check says to the piece.
func (s *story) watch(w *tabletop) {
	t := s.t
	const quiet = 6
	for k := range quiet {
		back := w.evening(0.1)
		out := s.told(s.nightly(w), "health", s.path, "--lamp", "1.75A")
		back()
		if k > 0 {
			assert.Contains(t, out, "All as it was.", "evening %d", k+1)
		}
	}
	w.evening(0.1)
	w.between(end(s.weak[0], s.weak[1])+" center", end(s.weak[1], s.weak[0])+" center").ohms += 0.05
	out := s.told(s.nightly(w), "health", s.path)
	require.Contains(t, out, "One contact got worse")
	last := seenHealth(t, s.path)
	night := last.Evenings[len(last.Evenings)-1]
	assert.InDelta(t, 0.05, night.Ohm, 0.025)
	var parts []string
	right := false
	for _, p := range night.Parts {
		parts = append(parts, fmt.Sprintf("%s (%d joints)", p.Part, len(p.Joints)))
		right = right || slices.ContainsFunc(p.Joints, func(j string) bool {
			return strings.Contains(j, end(s.weak[0], s.weak[1]))
		})
	}
	assert.True(t, right, "%v in %v", s.weak, night.Parts)
	s.told(func(string) string { return "quit" }, "health", s.path, "--hunt")
	c := s.hunts(w, s.path, s.weak[0], s.weak[1])
	t.Logf("%s: told %.0f mohm in %v; hunted with %d readings, looked at %v", s.weak, 1000*night.Ohm, parts,
		c.readings, c.looked)
	assert.LessOrEqual(t, len(c.looked), 3)
}

// short hides one, and reads at the block alone: what is on the track is out of reach.
func (s *story) short(w *tabletop) {
	named := s.atBlock(w, s.hid)
	assert.Contains(s.t, first(named, 3), s.hid)
}

// atBlock bridges a piece, reads at the block alone, and gives the pieces that are
// believed in then.
func (s *story) atBlock(w *tabletop, hid string) []string {
	whole := slices.Clone(w.strands)
	defer func() { w.strands = whole }()
	w.wire(hid+" center", hid+" left", 0.05)
	path := filepath.Join(s.t.TempDir(), filepath.Base(s.path))
	text, err := os.ReadFile(s.path)
	require.NoError(s.t, err)
	require.NoError(s.t, os.WriteFile(path, text, 0o600))
	p := startProgram(s.t, path, "--battery", "--lamp", "1.75A")
	now := p.send("symptom", "short")
	readings, refused := 0, 0
	for now.Type == "ask" && refused < refusals {
		if now.Meter != "lamp" && (onTrack(now.Red) || onTrack(now.Black)) {
			refused++
			now = p.send("skip", "cannot reach")
			continue
		}
		readings++
		now = p.send("reading", w.answer(&now.Ask))
	}
	named := p.believed()
	s.t.Logf("%s: %d readings at the block, %d on the track put aside: %v", hid, readings, refused, first(named, 6))
	return named
}

// TestTwoPairsAreEnough: a short in every third piece of the demo, and a panel of two
// pairs, the track out of reach: the bad piece is among the first three named but for one
// in ten.
func TestTwoPairsAreEnough(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run plays no story")
	}
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	s := &story{t: t, path: shelfFile(t), make: club}
	w := s.wireUp(1)
	text, err := os.ReadFile(s.path)
	require.NoError(t, err)
	f, problems := layoutfile.Read(s.path, text)
	require.NotNil(t, f, "%v", problems)
	every := 12
	if os.Getenv("FISHPLATE_MEASURE") != "" {
		every = 3
	}
	found, all := 0, 0
	for at := every / 2; at < len(f.Layout.Pieces); at += every {
		id := f.Layout.Pieces[at].ID()
		if all++; slices.Contains(first(s.atBlock(w, id), 3), id) {
			found++
		}
	}
	t.Logf("found %d of %d", found, all)
	assert.GreaterOrEqual(t, 10*found, 9*all-9)
}

// first are the first of a list.
func first(list []string, n int) []string { return list[:min(n, len(list))] }

// refusals are how often it is said that a place on the track cannot be reached.
const refusals = 10

func (s *story) play(seed uint64) {
	s.build(seed)
	w := s.wireUp(seed)
	whole := slices.Clone(w.strands)
	s.watch(w)
	w.strands = whole
	s.short(w)
}

// TestStoryOfTheDemo plays it on a copy of the demo.
func TestStoryOfTheDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run plays no story")
	}
	s := &story{t: t, path: shelfFile(t), make: club, bad: "main 19", weak: [2]string{"main 33", "main 34"},
		hid: "main 19"}
	s.play(1)
}

// TestStoryOfAWalk walks 60 pieces in from nothing, and plays it on them.
func TestStoryOfAWalk(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	t.Setenv("HOME", dir)
	path := filepath.Join(dir, "attic.hcl")
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "walk", path)
	for _, x := range [][2]string{{"1", "lengths in"}, {"\r", "Walk along your track"},
		{"2sf", "The supply that feeds"}, {"\r", "one way"},
		{"\r", "feeder F1 at"}, {"18s4l2sf", "one way"}, {"\r", "feeder F2 at"},
		{"6st", "where does the other track leave"}, {"2", "turnout is called W1"},
		{"11s4lc", "the run closes"}, {"d", "walk on"}, {"l10sb", "60 pieces"}, {"w", "saved in"}} {
		c.press(x[0])
		c.see(x[1])
	}
	c.press("q")
	require.Zero(t, c.status())
	if testing.Short() { // walked in: a short run plays no story
		return
	}
	s := &story{t: t, path: path, make: attic, bad: "main 23", weak: [2]string{"main 37", "main 38"}, hid: "main 10"}
	s.play(1)
}
