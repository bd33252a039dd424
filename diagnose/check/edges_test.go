package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
)

// edge is a limit with what stands just inside it and just past it: the layout
// and the train for a share of the limit.
type edge struct {
	name, kind string
	severity   check.Severity
	at         func(x float64) (text string, trainAmps float64)
	limit      float64
	step       float64 // how far past the limit it must be told
}

// supplyOf is the supply of an oval, with what else is said of it.
func supplyOf(construction, current string, volts, breaker float64) string {
	return head(construction) + oval + fmt.Sprintf(
		"supply \"T1\" {\n  current = %q\n  volts   = %.9g\n  breaker = %.9g\n}\n", current, volts, breaker) +
		feeder("F1", "main 2", "T1")
}

// load is an accessory across the supply.
func load(kind string, volts, amps float64) string {
	return fmt.Sprintf("accessory \"load\" {\n  kind   = %q\n  volts  = %.9g\n  amps   = %.9g\n  supply = \"T1\"\n}\n",
		kind, volts, amps)
}

// Every limit that check knows holds at the limit itself and is told right past
// it. The limits of a toy's supply are IEC 61558-2-7:2007 clause 1 (24 V AC, 33 V
// DC, 10 A); 12 V at the railhead NMRA S-9 (1984); 14 AWG for 15 A NMRA MRP-1
// section 3, less the tenth that the rule is good to; the others are assumed, and
// say so where they are told.
func TestLimitsAtTheirEdges(t *testing.T) {
	ohms := func(text string) float64 { // from the posts to the worst place
		v := run(t, read(t, text), check.Options{TrainAmps: 1}).Volts[0]
		return v.Posts - v.Volts
	}
	dc := supplyOf("two-rail", "dc", 12, 5)
	far := strings.ReplaceAll(feeder("F1", "main 1", "T1"), "4 ft", "40 ft")
	line := head("metal-tie") + straights(10) + ac + far
	short := run(t, read(t, line), check.Options{TrainAmps: 1}).Volts[0].ShortAmps
	behind := func(breaker float64) string {
		return head("metal-tie") + straights(10) +
			fmt.Sprintf("supply \"T1\" {\n  current = \"ac\"\n  volts   = 18\n  breaker = %.9g\n}\n", breaker) + far
	}
	drop := func(share float64) (string, float64) { return line, share * 18 / ohms(line) }
	for _, e := range []edge{
		{"24 V AC", "supply-volts", check.WontWork, func(x float64) (string, float64) {
			return supplyOf("metal-tie", "ac", x, 5), 1
		}, 24, 0.1},
		{"33 V DC", "supply-volts", check.WontWork, func(x float64) (string, float64) {
			return supplyOf("two-rail", "dc", x, 5), 1
		}, 33, 0.1},
		{"10 A", "breaker-large", check.Badly, func(x float64) (string, float64) {
			return supplyOf("metal-tie", "ac", 18, x), 1
		}, 10, 0.1},
		{"200 VA", "supply-power", check.Badly, func(x float64) (string, float64) {
			return supplyOf("metal-tie", "ac", x/10, 10), 1
		}, 200, 1},
		{"1.3 times the volts of a motor", "accessory-volts", check.Badly,
			func(x float64) (string, float64) {
				return supplyOf("metal-tie", "ac", 10*x, 5) + load("motor", 10, 0.2), 1
			}, 1.3, 0.001},
		{"a train of all that the breaker lets through", "train-trips", check.WontWork,
			func(x float64) (string, float64) { return supplyOf("metal-tie", "ac", 18, 5), x }, 5, 0.01},
		{"accessories of all that the breaker lets through", "accessory-load", check.WontWork,
			func(x float64) (string, float64) {
				return supplyOf("metal-tie", "ac", 18, 5) + load("motor", 18, x), 5.5
			}, 5, 0.01},
		{"5 % of the volts lost", "volts-low", check.GoodToKnow, drop, 0.05, 0.0001},
		{"10 % of the volts lost", "volts-low", check.Badly, drop, 0.10, 0.0001},
		{"50 % of the volts lost", "volts-low", check.WontWork, drop, 0.50, 0.0001},
		{"12 V DC at the rail", "volts-below-standard", check.GoodToKnow,
			func(x float64) (string, float64) { return supplyOf("two-rail", "dc", 12-x+ohms(dc), 5), 1 }, 0, 0.001},
		{"a dead short of 1.4 times the breaker", "breaker-slow", check.Badly, func(x float64) (string, float64) {
			return behind(short / 1.4 * x), 1
		}, 1, 0.001},
		{"a dead short of the breaker's own amperes", "breaker-blind", check.NotSafe,
			func(x float64) (string, float64) {
				return behind(short * x), 1
			}, 1, 0.001},
		{"14 AWG behind 15 A and a ninth of it", "wire-thin", check.NotSafe, func(x float64) (string, float64) {
			return strings.ReplaceAll(supplyOf("metal-tie", "ac", 18, x), "16 AWG", "14 AWG"), 1
		}, 16.66, 0.01}, // 15 A and a tenth less
		{"pickups that reach as far as the block is long", "block-short", check.Badly,
			func(x float64) (string, float64) {
				return supplyOf("metal-tie", "ac", 18, 5) + "toggle \"S1\" { supply = \"T1\" }\n" +
					feeder("F2", "main 5",
						`toggle = "S1"`) +
					gap("main 4/5", "center") + gap("main 5/6", "center") +
					"block \"stop\" {\n  from   = \"main 5\"\n  to     = \"main 5\"\n  toggle = \"S1\"\n}\n" +
					fmt.Sprintf("train \"long\" {\n  axles   = \"4 in\"\n  pickups = \"%.9g in\"\n  amps    = 1\n}\n",
						x), 1
			}, 9.999, 0.001},
	} {
		told := func(x float64) *check.Finding {
			text, amps := e.at(x)
			f := find(t, run(t, read(t, text), check.Options{TrainAmps: amps}), e.kind)
			if f != nil && f.Severity != e.severity { // a limit of the same kind that is told otherwise
				return nil
			}
			return f
		}
		within := e.limit
		if e.step < 0.01 { // worked out in floating point
			within -= e.step * 1e-4
		}
		require.Nil(t, told(within), "%s: told within the limit", e.name)
		require.NotNil(t, told(e.limit+e.step), "%s: not told past the limit", e.name)
	}
}
