package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// TestHuntJSON hides shorts in layouts and hunts them through the program's
// own lines: it knows of the hunt only what stands on them, builds the circuit
// that each ask describes from its names, and answers with what a bench that
// shares nothing with the hunt's predictions reads. The bad piece must be
// among the first three that the hunt has looked at.
func TestHuntJSON(t *testing.T) {
	seeds := uint64(4)
	if testing.Short() {
		seeds = 1
	}
	for _, name := range []string{"loop", "dead-end", "loop-siding"} {
		for seed := uint64(1); seed <= seeds; seed++ {
			t.Run(fmt.Sprintf("%s/%d", name, seed), func(t *testing.T) {
				path := filepath.Join("..", "..", "testdata", "layouts", name+".hcl")
				n := networkOf(t, path)
				b := hidden(t, n, rand.New(rand.NewPCG(seed, 7)))
				played(t, path, b)
			})
		}
	}
}

func networkOf(t *testing.T, path string) *conductor.Network {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	file, problems := layoutfile.Read(path, text)
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(file.Layout)
	require.NoError(t, err)
	return n
}

// bench is a layout with a short in it, and the meter that reads it.
type bench struct {
	n      *conductor.Network
	bad    *simulate.Bench
	good   *simulate.Bench // the same track, repaired
	fault  simulate.Fault
	rng    *rand.Rand
	leads  float64 // ohm
	gain   float64 // of the meter
	lamp   float64 // the lamp's true current, ampere; 0: what the ask says
	reads  int
	looked []string
}

// hidden draws track and a fault that trips the breaker.
func hidden(t *testing.T, n *conductor.Network, rng *rand.Rand) *bench {
	ohms := simulate.DrawOhms(n, rng, simulate.DrawLevel(rng, n.RailLevel), simulate.DrawLevel(rng, n.JointLevel))
	b := &bench{n: n, good: simulate.NewBench(n, ohms, nil), rng: rng,
		leads: 0.1 + 0.3*rng.Float64(), gain: 1 + 0.006*(2*rng.Float64()-1)}
	list := fault.List(n)
	supply := n.Layout.Supplies[0]
	on := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: supply.Volts}}
	for range 1000 {
		b.fault = simulate.DrawFault(list, rng)
		if b.fault.Suspect.Mode != track.Bridged {
			continue
		}
		b.bad = simulate.NewBench(n, ohms, []simulate.Fault{b.fault})
		if b.bad.Amps(on) > supply.Breaker {
			return b
		}
	}
	t.Fatal("no fault of this layout trips its breaker")
	return nil
}

// said is any line out.
type said struct {
	Type    string
	Message string
	hunt.Ask
	Pieces  []hunt.Candidate
	Verdict string
	Prove   *hunt.Ask
	Proven  bool
}

// session is the program, running.
type session struct {
	t   *testing.T
	in  io.WriteCloser
	out *bufio.Scanner
	end chan int
	log strings.Builder
}

func startProgram(t *testing.T, path string, more ...string) *session {
	inR, inW := io.Pipe()
	outR, outW := io.Pipe()
	s := &session{t: t, in: inW, out: bufio.NewScanner(outR), end: make(chan int, 1)}
	s.out.Buffer(nil, 1<<20)
	go func() {
		code := run(append([]string{"hunt", "--json", path}, more...), inR, outW, io.Discard)
		outW.Close()
		inR.Close()
		s.end <- code
	}()
	t.Cleanup(func() {
		inW.Close()
		outR.Close()
		if t.Failed() {
			t.Log(s.log.String())
		}
	})
	return s
}

func (s *session) send(key string, value any) said {
	line, err := json.Marshal(map[string]any{key: value})
	require.NoError(s.t, err)
	_, err = fmt.Fprintf(s.in, "%s\n", line)
	require.NoError(s.t, err)
	require.True(s.t, s.out.Scan(), "the program ended on %s", line)
	fmt.Fprintf(&s.log, "%s\n", line)
	if !strings.Contains(s.out.Text(), `"ask"`) {
		fmt.Fprintf(&s.log, "%s\n", s.out.Text())
	}
	out := s.said()
	if out.Type == "ask" {
		a := &out.Ask
		fmt.Fprintf(&s.log, "  ask %d: %s, red %s, black %s, %s, lifted %v, pulled %v\n", a.N, a.Meter, a.Red, a.Black,
			a.Setup.Source.Kind, a.Setup.Lifted, a.Setup.Pulled)
	}
	return out
}

// said is the line that came last.
func (s *session) said() said {
	require.NotContains(s.t, s.out.Text(), "null")
	var out said
	require.NoError(s.t, json.Unmarshal(s.out.Bytes(), &out))
	return out
}

// played plays a hunt to its end.
func played(t *testing.T, path string, b *bench) {
	startProgram(t, path).play(b)
}

// play plays a hunt to its end.
func (s *session) play(b *bench) {
	t := s.t
	fmt.Fprintf(&s.log, "hidden: %s, %.3g ohm at %.2f\n", b.fault.Suspect.ID, b.fault.Ohms, b.fault.Position)
	now := s.send("symptom", "short")
	found := false
	for step := 0; now.Type != "done"; step++ {
		require.Less(t, step, 60, "the hunt does not end")
		switch now.Type {
		case "ask":
			require.False(t, found, "a reading is asked for although the piece was found")
			b.reads++
			now = s.send("reading", b.read(t, b.bad, &now.Ask))
		case "inspect":
			require.NotEmpty(t, now.Pieces)
			piece := now.Pieces[0].Piece
			b.looked = append(b.looked, piece)
			require.LessOrEqual(t, len(b.looked), 3, "looked at %v; the bad one is %s", b.looked, b.fault.Suspect.Piece)
			found = piece == b.fault.Suspect.Piece
			now = s.send(map[bool]string{true: "found", false: "not_found"}[found], piece)
		default:
			t.Fatalf("%s: %s", now.Type, now.Message)
		}
	}
	require.True(t, found, "the hunt ended (%s) before the bad piece was found", now.Verdict)
	require.NotNil(t, now.Prove, "no reading proves the repair")
	for now.Prove != nil {
		now = s.send("reading", b.read(t, b.good, now.Prove))
		require.Equal(t, "done", now.Type)
	}
	require.True(t, now.Proven, "the repaired track reads as if it were still bad")
	t.Logf("%s: %d readings, looked at %v", b.fault.Suspect.ID, b.reads, b.looked)
	require.Equal(t, "quit", s.send("quit", true).Type)
	require.Equal(t, exitOK, <-s.end)
}

// setup builds the circuit from the names of an ask.
func (b *bench) setup(t *testing.T, a *hunt.Ask) conductor.Setup {
	out := conductor.Setup{Thrown: map[int]string{}}
	if src := a.Setup.Source; src.Kind != "none" {
		out.Source = conductor.Source{Kind: conductor.SourceKind(src.Kind), From: b.point(t, src.From),
			To: b.point(t, src.To), Volts: src.Volts, Amps: src.Amps}
		if src.Kind == "lamp" {
			require.Positive(t, src.Amps)
			if b.lamp > 0 {
				out.Source.Amps = b.lamp
			}
		}
	} else {
		out.Source = conductor.Source{Kind: conductor.SourceNone}
	}
	for _, l := range a.Setup.Loads {
		out.Loads = append(out.Loads, conductor.Load{From: b.point(t, l.From), To: b.point(t, l.To), Ohms: l.Ohms})
	}
	for _, name := range a.Setup.Lifted {
		j := b.n.Layout.FindJoint(name)
		require.GreaterOrEqual(t, j, 0, "joint %q", name)
		out.Lift(j)
	}
	for _, name := range a.Setup.Pulled {
		f := -1
		for i := range b.n.Layout.Feeders {
			if b.n.Layout.Feeders[i].Name == name {
				f = i
			}
		}
		require.GreaterOrEqual(t, f, 0, "feeder %q", name)
		out.Pull(f)
	}
	for name, route := range a.Setup.Thrown {
		p := b.n.Layout.FindPiece(name)
		require.GreaterOrEqual(t, p, 0, "turnout %q", name)
		out.Thrown[p] = route
	}
	return out
}

func (b *bench) point(t *testing.T, name string) int {
	p := b.n.Find(name)
	require.GreaterOrEqual(t, p, 0, "point %q", name)
	return p
}

// read answers an ask as a 3 1/2 digit meter shows it: 2000 counts, 0.6 % and
// two digits off at most, leads of a few tenths of an ohm, a beeper that
// sounds below 60 ohm (common practice, no source).
func (b *bench) read(t *testing.T, on *simulate.Bench, a *hunt.Ask) string {
	s := b.setup(t, a)
	red, black := b.point(t, a.Red), b.point(t, a.Black)
	switch a.Meter {
	case "beeper":
		if on.Ohms(s, red, black)+b.leads < 60 {
			return "beep"
		}
		return "no"
	case "ohms":
		r := on.Ohms(s, red, black) + b.leads
		if r > 20e6 {
			return "OL"
		}
		return b.shown(r, 0.1, "ohm")
	case "volts":
		return b.shown(math.Abs(on.MeterVolts(s, red, black, simulate.MeterOhms)), 0.01, "V")
	case "millivolts":
		return b.shown(math.Abs(on.MeterVolts(s, red, black, simulate.MeterOhms)*1e3), 0.1, "mV")
	case "amps":
		return b.shown(on.Amps(s), 0.01, "A")
	case "lamp": // a lamp gives next to no light at a third of its current
		switch part := on.Amps(s) / s.Source.Amps; {
		case part > 0.8:
			return "bright"
		case part > 0.33:
			return "glowing"
		}
		return "dark"
	}
	t.Fatalf("no meter has %q", a.Meter)
	return ""
}

// shown prints a value with the meter's errors and steps.
func (b *bench) shown(v, step float64, unit string) string {
	for v >= 2000*step {
		step *= 10
	}
	v = v*b.gain + step*(4*b.rng.Float64()-2)
	v = math.Max(0, math.Round(v/step)*step)
	return fmt.Sprintf("%.*f %s", max(0, int(math.Round(-math.Log10(step)))), v, unit)
}
