package hunt_test

import (
	"fmt"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// ring is an invented closed loop of n pieces with one feeder.
func ring(t testing.TB, n int) *track.Layout {
	var straights []string
	for left := (n - 16) / 2; left > 0; left -= 900 {
		straights = append(straights, fmt.Sprintf("\"%d x straight 10\"", min(left, 900)))
	}
	src := fmt.Sprintf(`name = "ring"
units = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = [%[1]s, "8 x curve left diameter 60 angle 22.5", %[1]s, "8 x curve left diameter 60 angle 22.5"]
}
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`, strings.Join(straights, ", "))
	f, probs := layoutfile.Read("ring", []byte(src))
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

// BenchmarkFirstSuggestion is the time from a layout in memory to the first
// reading asked for.
func BenchmarkFirstSuggestion(b *testing.B) {
	for _, n := range []int{60, 200, 1000, 5000} {
		l := ring(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				h := hunt.New(l, allMeters)
				require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
				require.NotNil(b, h.View().Step.Ask)
			}
			reportMemory(b)
		})
	}
}

// reportMemory prints the memory taken from the system up to now: the larger
// layouts come last.
func reportMemory(b *testing.B) {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.Sys)/(1<<20), "MB-system")
}

// BenchmarkLaterSuggestion is the time from a reading typed to the next ask.
func BenchmarkLaterSuggestion(b *testing.B) {
	for _, n := range []int{60, 200, 1000, 5000} {
		l := ring(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				h := hunt.New(l, allMeters)
				require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
				require.NotNil(b, h.View().Step.Ask)
				b.StartTimer()
				require.NoError(b, h.Apply(hunt.Event{Reading: "80"}))
				h.View()
			}
			reportMemory(b)
		})
	}
}

// BenchmarkLaterCut is the same with a beeper alone, where the whole of the hunt
// is planned.
func BenchmarkLaterCut(b *testing.B) {
	for _, n := range []int{60, 200, 1000} {
		l := ring(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				h := hunt.New(l, hunt.Kit{Beeper: true})
				require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
				require.NoError(b, h.Apply(hunt.Event{Reading: "beep"}))
				require.NotNil(b, h.View().Step.Ask)
				b.StartTimer()
				require.NoError(b, h.Apply(hunt.Event{Reading: "beep"}))
				h.View()
			}
		})
	}
}

// processor is the processor time that this process has had, s: what a benchmark
// takes where others keep the machine busy.
func processor(b *testing.B) float64 {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}

// BenchmarkClub is the first reading and the next ones on a club's layout, where
// feeders and toggles make set-ups by the dozen; processor-s/op is what counts.
func BenchmarkClub(b *testing.B) {
	f, probs := layoutfile.Read("club", []byte(invent.Club()))
	require.NotNil(b, f, "%v", probs)
	begin := func() *hunt.Hunt {
		h := hunt.New(f.Layout, allMeters)
		require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		require.NotNil(b, h.View().Step.Ask)
		return h
	}
	b.Run("first", func(b *testing.B) {
		start := processor(b)
		for b.Loop() {
			begin()
		}
		b.ReportMetric((processor(b)-start)/float64(b.N), "processor-s/op")
	})
	b.Run("later", func(b *testing.B) {
		spent, replies := 0.0, 0
		for b.Loop() {
			h := begin()
			for _, shown := range []string{"beep", "80", "60", "20"} {
				ask := h.View().Step.Ask
				if ask == nil {
					break
				}
				if ask.Meter != "beeper" && shown == "beep" {
					shown = "40"
				} else if ask.Meter == "beeper" {
					shown = "beep"
				}
				start := processor(b)
				require.NoError(b, h.Apply(hunt.Event{Reading: shown}))
				h.View()
				spent += processor(b) - start
				replies++
			}
		}
		b.ReportMetric(spent/float64(replies), "processor-s/reply")
	})
}
