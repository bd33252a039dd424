//go:build !windows

package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fairTable is the portable layout fair.hcl as someone puts it on trestles, and ringTable the ring
// of boards.
func fairTable(t testing.TB, seed uint64, kind *ofTrack) *tabletop {
	w := tableOf(t, seed, kind)
	w.row("main", "", "", times(14, ten)...)
	w.row("yard", "", "", times(4, ten)...)
	w.between("main 10/11 "+w.hot, "main 11/10 "+w.hot).cut = true
	w.feeder("F1", "main 2", 4*0.3048)
	w.feeder("F2", "main 12", 8*0.3048)
	return w.sockets()
}

func ringTable(t testing.TB, seed uint64, kind *ofTrack) *tabletop {
	w := tableOf(t, seed, kind)
	w.row("main", "main 24", "main 1", rowOf(times(8, ten), times(4, bend), times(8, ten), times(4, bend))...)
	w.joint("main 24", "main 1")
	w.feeder("F1", "main 3", 4*0.3048)
	w.feeder("F2", "main 15", 8*0.3048)
	return w.sockets()
}

// sockets are there with all plugs out, too.
func (w *tabletop) sockets() *tabletop {
	w.wire("T1 hot", "T1 hot socket", 1e-6)
	w.wire("T1 common", "T1 common socket", 1e-6)
	return w
}

// twoPeople set a portable layout up: they do what is called, and hold the probes.
type twoPeople struct {
	t      *testing.T
	w      *tabletop
	in     []string // plugs
	asked  []string // of the last reading, its words
	failed []string // readings that were not as they must be
	mend   func(reading string)
}

var boardWords = regexp.MustCompile(`Push (?:[^.]+?) home at ([^.]+)\.|Now join ([^.]+) as well|` +
	`Push the plug of (\S+) into \S+, every other plug out|Push the plug of (\S+) into|Pull the plug of (\S+) out`)

func (p *twoPeople) join(joints string) {
	for _, j := range strings.Split(joints, ", ") {
		require.True(p.t, p.w.shut[j], "%q is no joint between boards that is apart", j)
		delete(p.w.shut, j)
	}
}

// hands do all that is said, in its order, and answer the reading that comes last.
func (p *twoPeople) hands(said string) string {
	if strings.Contains(said, "Touch the leads") {
		return "0.3"
	}
	switch {
	case strings.Contains(said, "Mended?"):
		reading := fmt.Sprintf("%s, %s", p.asked[2], p.asked[3])
		require.NotContains(p.t, p.failed, reading, "mended, and still bad")
		p.failed = append(p.failed, reading)
		p.mend(reading)
	case !strings.Contains(said, "all as told? Read it again."):
		for _, m := range boardWords.FindAllStringSubmatch(said, -1) {
			switch {
			case m[1]+m[2] != "":
				p.join(m[1] + m[2])
			case m[3] != "":
				p.in = []string{m[3]}
			case m[4] != "":
				p.in = append(p.in, m[4])
			default:
				p.in = slices.DeleteFunc(p.in, func(f string) bool { return f == m[5] })
			}
		}
		all := stopWords.FindAllStringSubmatch(said, -1)
		require.NotEmpty(p.t, all, said)
		p.asked = all[len(all)-1]
	}
	at := &state{}
	for _, f := range []string{"F1", "F2"} {
		if !slices.Contains(p.in, f) {
			at.out = append(at.out, f)
		}
	}
	if ohms := p.w.ohms(at, p.asked[2], p.asked[3]); !math.IsInf(ohms, 1) {
		return p.w.show(ohms+leadOhms, 0.1, "ohm")
	}
	return "OL"
}

// setUp sets a layout up with what is bad, and gives the readings that failed, in order.
func setUp(t *testing.T, path string, w *tabletop, apart []string, mend func(reading string)) []string {
	for _, j := range apart {
		w.shut[j] = true
	}
	p := &twoPeople{t: t, w: w, mend: mend}
	s := &story{t: t, path: path}
	out := s.told(p.hands, "setup", path, "--ask", "--new")
	assert.Contains(t, out, "proven")
	assert.Empty(t, w.shut, "joints that nobody was told to join")
	assert.Equal(t, []string{"F1", "F2"}, p.in)
	return p.failed
}

// portableFile is a layout of boards on a kind of track, its hot rail where the file has the center.
func portableFile(t *testing.T, name string, kind *ofTrack) string {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	text, err := os.ReadFile("../../testdata/layouts/boards/" + name)
	require.NoError(t, err)
	path := filepath.Join(dir, name)
	other := strings.NewReplacer("metal-tie", kind.name, `"center"`, fmt.Sprintf("%q", kind.hot))
	require.NoError(t, os.WriteFile(path, []byte(other.Replace(string(text))), 0o600))
	return path
}

// TestStoryOfBoards sets a portable layout up with something bad at a joint, in a plug, or on a
// board, on track wired by hand, by ngspice and another meter: the reading that fails is the
// one that touches it, nothing fails once it is mended, and nothing does where all is sound.
func TestStoryOfBoards(t *testing.T) {
	for _, kind := range []*ofTrack{&metalTies, &roadbeds, &twoRails} {
		if testing.Short() && kind != &metalTies {
			continue
		}
		path := portableFile(t, "fair.hcl", kind)
		for _, c := range badBoards(kind) {
			t.Run(kind.name+", "+c.name, func(t *testing.T) {
				w := fairTable(t, 7, kind)
				sound := slices.Clone(w.strands)
				for _, bad := range c.bad {
					bad(w)
				}
				left := len(c.want)
				got := setUp(t, path, w, []string{"main 5/6", "main 8/9", "main 10/11", "yard 2/3"}, func(string) {
					w.strands = slices.Clone(sound)
					if left--; left > 0 { // the second of two is not mended yet
						c.bad[1](w)
					}
				})
				assert.Equal(t, c.want, got)
			})
		}
	}
}

// badBoard is what is bad as boards are set up, and the readings that fail for it.
type badBoard struct {
	name string
	bad  []func(*tabletop)
	want []string
}

func badBoards(kind *ofTrack) []badBoard {
	type bad = []func(*tabletop)
	cut := func(a, b string) func(*tabletop) {
		return func(w *tabletop) { w.between(a, b).cut = true }
	}
	wire := func(a, b string, ohms float64) func(*tabletop) {
		return func(w *tabletop) { w.wire(a, b, ohms) }
	}
	crossed := func(w *tabletop) {
		hot, common := w.between("T1 hot", "F2 hot wire"), w.between("T1 common", "F2 common wire")
		hot.b, common.b = common.b, hot.b
	}
	hot, common := " "+kind.hot, " "+kind.common
	onRails := "main 5/6" + hot + ", main 5/6" + common
	out := []badBoard{
		{"all sound", nil, nil},
		{"a pin that is not home", bad{cut("main 8/9"+hot, "main 9/8"+hot)},
			[]string{"main 8/9" + hot + ", main 9/8" + hot}},
		{"a steel pin for an insulating one", bad{wire("main 10/11"+hot, "main 11/10"+hot, 0.002)},
			[]string{"main 10/11" + hot + ", main 11/10" + hot}},
		{"a plug that lacks a wire", bad{cut("T1 hot", "F2 hot wire")}, []string{"main 12" + hot + ", T1 hot"}},
		{"two plugs that lack a wire", bad{cut("T1 common", "F1 common wire"), cut("T1 hot", "F2 hot wire")},
			[]string{"main 2" + common + ", T1 common", "main 12" + hot + ", T1 hot"}},
		{"a plug that is crossed", bad{crossed}, []string{"main 12" + hot + ", T1 hot"}},
		{"a strand between the pins of a plug", bad{wire("F1 hot wire", "F1 common wire", 0.05)}, []string{onRails}},
		{"a bolt on the bridge", bad{wire("main 7"+hot, "main 7"+common, 0.2)}, []string{onRails}},
		{"a bolt beyond the gap", bad{wire("main 13"+hot, "main 13"+common, 0.2)}, []string{"T1 common, T1 hot"}},
	}
	if kind.ties { // they carry past one outer pin
		return append(out, badBoard{"the outer pins of a yard", bad{cut("yard 2/3 left", "yard 3/2 left"),
			cut("yard 2/3 right", "yard 3/2 right")}, []string{"yard 2/3 left, yard 3/2 left"}})
	}
	for _, r := range kind.rails {
		r = " " + r
		out = append(out, badBoard{"the" + r + " pin of a yard", bad{cut("yard 2/3"+r, "yard 3/2"+r)},
			[]string{"yard 2/3" + r + ", yard 3/2" + r}})
	}
	return out
}

// TestStoryOfARing: a pin that is not home at the joint that closes a ring of boards beeps all
// the way round, as it is said; the health check of that evening finds it, and the hunt that
// begins there its piece. A bolt that lies there as it is closed is read.
func TestStoryOfARing(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run plays no story")
	}
	for _, kind := range []*ofTrack{&metalTies, &roadbeds, &twoRails} {
		t.Run(kind.name, func(t *testing.T) { storyOfARing(t, kind) })
	}
}

func storyOfARing(t *testing.T, kind *ofTrack) {
	path := portableFile(t, "ring.hcl", kind)
	apart := []string{"main 6/7", "main 12/13", "main 18/19", "main 24/1"}
	w := ringTable(t, 3, kind)
	hot, common := " "+kind.hot, " "+kind.common
	s := &story{t: t, path: path}
	for k := range 6 { // at home, where it stands all year
		back := w.evening(0.1)
		out := s.told(s.nightly(w), "health", path, "--lamp", "1.75A")
		back()
		if k > 0 {
			assert.Contains(t, out, "All as it was.", "evening %d", k+1)
		}
	}
	whole := slices.Clone(w.strands)
	w.between("main 24/1"+hot, "main 1/24"+hot).cut = true
	assert.Empty(t, setUp(t, path, w, apart, func(string) {}), "no beep tells of it")
	w.evening(0.1)
	out := s.told(s.nightly(w), "health", path)
	assert.Contains(t, out, "worse")
	last := seenHealth(t, path)
	night := last.Evenings[len(last.Evenings)-1]
	t.Logf("told %+v", night)
	s.told(func(string) string { return "quit" }, "health", path, "--hunt")
	c := s.hunts(w, path, "main 24", "main 1")
	t.Logf("found with %d readings, looked at %v", c.readings, c.looked)
	assert.LessOrEqual(t, len(c.looked), 3)

	w.strands = slices.Clone(whole)
	bolt := len(w.strands)
	w.wire("main 1"+hot, "main 1"+common, 0.2, "main 24/1")
	got := setUp(t, path, w, apart, func(string) { w.strands[bolt].cut = true })
	assert.Equal(t, []string{"main 24/1" + hot + ", main 24/1" + common}, got)
}
