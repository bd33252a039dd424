//go:build !windows

package main

import (
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"fishplate/diagnose/hunt"
	"fishplate/layoutfile/course"
)

// kills is how often programs are killed: go test ./cmd/fishplate -run TestKill
// -kills 1000.
var kills = flag.Int("kills", 0, "how many hunts and how many walks TestKill ends with SIGKILL; 0: a few")

func howMany(t *testing.T) int {
	switch {
	case *kills > 0:
		return *kills
	case testing.Short():
		return 2
	}
	return 8
}

// TestKillHunts kills the screens of a hunt at random moments after a key, and
// goes on with it each time: no answer that the screen had taken is lost, no file
// is half written, and nothing lies about.
func TestKillHunts(t *testing.T) {
	src, _ := shelf(t)
	dir := filepath.Dir(src.name)
	rng := rand.New(rand.NewPCG(18, 1))
	shown := number(`   reading (\d+)\b`) // of the title; "reading 1 showed OL" is of an earlier one
	folder := src.name + ".hunts"
	events, standing, keys, empty, killed := 0, 0, 0, 0, 0
	owed := 0 // keys of which nothing is on the disk: no answers, or not worked out yet
	count := func() {
		had := events
		events, standing = onDisk(t, src, folder)
		require.GreaterOrEqual(t, events, had, "an answer is lost")
		owed -= events - had
		require.GreaterOrEqual(t, owed, 0, "more answers than keys")
	}
	defer func() {
		t.Logf("%d of %d kills, %d keys, %d of them no answers", killed, howMany(t), keys, empty)
	}()
	for range howMany(t) {
		c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "--meters", "ohms", filepath.Base(src.name))
		if standing == 0 {
			c.see("What is wrong?")
			c.press("1")
			c.see("reading 1 ")
			events++
		}
		c.until("the hunt as it was left", func() bool {
			return standing == 0 || shown(c) == standing || shown(c) == 0 && standing > 1
		})
		for {
			if cautions := "Before you touch anything"; strings.Contains(c.screen(), cautions) {
				c.press("\r") // no answer is taken on that page
				c.until("the cautions' end", func() bool { return !strings.Contains(c.screen(), cautions) })
			}
			key := []string{"0.4\r", "OL\r", "1.2\r"}[rng.IntN(3)]
			if strings.Contains(c.screen(), "What is wrong?") {
				key = "1"
			} else if now := shown(c); now == 0 || now > 1 && rng.IntN(2) == 0 { // 0: it is time to look
				key = "u"
			}
			c.press(key)
			owed++
			if keys++; rng.IntN(4) > 0 {
				taken := grows(func() int { had, _ := onDisk(t, src, folder); return had }, events)
				if !taken { // it was no answer to what stood there by then, or one that takes long
					c.press("\x1b")
					empty++
				}
				c.until("the hunt at rest", func() bool { return !thinking(c) })
				c.quiet()
				count()
				continue
			}
			time.Sleep(time.Duration(rng.IntN(60)) * time.Millisecond) // any moment will do
			require.NoError(t, c.cmd.Process.Signal(unix.SIGKILL))
			<-c.done
			killed++
			count()
			break
		}
	}
	require.Less(t, empty, 1+keys/2)
}

// grows waits a while for a count on the disk to pass a number.
func grows(count func() int, past int) bool {
	for deadline := time.Now().Add(3 * time.Second); time.Now().Before(deadline); time.Sleep(5 * time.Millisecond) {
		if count() > past {
			return true
		}
	}
	return false
}

// number gives the number that stands on a screen, 0 where there is none.
func number(pattern string) func(*console) int {
	re := regexp.MustCompile(pattern)
	return func(c *console) int {
		m := re.FindStringSubmatch(c.screen())
		if m == nil {
			return 0
		}
		n, _ := strconv.Atoi(m[1])
		return n
	}
}

// onDisk takes the one hunt in a folder up: it gives how many things were said,
// and the number of the reading that it asks for.
func onDisk(t *testing.T, src *source, folder string) (events, reading int) {
	t.Helper()
	list, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return 0, 0
	}
	require.NoError(t, err)
	for _, f := range list {
		if strings.HasPrefix(f.Name(), ".") {
			continue
		}
		e := readEntry(strings.TrimSuffix(f.Name(), ".json"), filepath.Join(folder, f.Name()))
		require.NoError(t, e.err, f.Name())
		h, err := hunt.Resume(src.layout, hunt.Kit{}, e.rec.Hunt)
		require.NoError(t, err)
		v := h.View()
		if events, reading = e.rec.events(), v.Readings+1; v.Symptom == nil {
			reading = 0
		}
	}
	return events, reading
}

// TestKillWalks does the same to the walk of a layout: what was put by comes back.
func TestKillWalks(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "w.hcl")
	rng := rand.New(rand.NewPCG(18, 2))
	kept := func() int {
		data, err := os.ReadFile(keptPath(path))
		if os.IsNotExist(err) {
			return 0
		}
		require.NoError(t, err)
		k, err := course.Resume(data)
		require.NoError(t, err, "half a walk was put by")
		return k.Pieces()
	}
	shown := number(`(\d+) pieces?, not saved`)
	for n := range howMany(t) {
		if kept() > 60 {
			require.NoError(t, os.Remove(keptPath(path)))
		}
		c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "walk", "w.hcl")
		if kept() == 0 {
			c.see("A new layout. Begin with")
			c.press("1")
			c.see("lengths in")
			c.press("\r")
			c.see("Walk along your track")
		} else {
			c.see("Going on where you stopped")
		}
		for {
			now := shown(c)
			require.Eventually(t, func() bool {
				return kept() == now
			}, patience, time.Millisecond, "what the screen shows is put by")
			c.press([]string{"s", "l", "r"}[rng.IntN(3)])
			if rng.IntN(4) > 0 {
				c.until("one piece more", func() bool { return shown(c) == now+1 })
				continue
			}
			time.Sleep(time.Duration(rng.IntN(30)) * time.Millisecond)
			require.NoError(t, c.cmd.Process.Signal(unix.SIGKILL))
			<-c.done
			assert.Contains(t, []int{now, now + 1}, kept(), "kill %d", n+1)
			break
		}
	}
}
