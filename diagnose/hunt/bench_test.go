package hunt_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
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
