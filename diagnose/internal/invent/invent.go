// Package invent writes layout files for tests: named ones of our own
// invention, and random ones of every topology that the trade builds (ovals,
// dead-end runs, sidings, spurs, crossings, insulated rails, one or two feeders
// and supplies).
// It gives text only; whoever wants a layout reads it with package layoutfile.
package invent

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Constructions are the names of the constructions that come with the program.
var Constructions = []string{"metal-tie", "roadbed", "solid-rail", "two-rail", "two-rail-routing"}

const (
	curve = "curve diameter 31 angle 45"
	turn  = "diameter 31 angle 45"
)

// Oval is a closed run of 16 pieces with a passing siding between a facing
// and a trailing turnout, a spur from a facing right-hand turnout and one from
// a trailing left-hand turnout (so that it runs against the main line). Hands
// swaps left and right hands of all turnouts.
func Oval(construction string, swapHands bool) string {
	left, right := "left", "right"
	if swapHands {
		left, right = right, left
	}
	return head("oval", construction) + fmt.Sprintf(`
run "main" {
  closes = true
  pieces = ["2 x straight 10", "turnout %[1]s %[3]s as W1", "straight 10", "turnout %[2]s trailing %[3]s as W2",
    "4 x %[4]s left",
    "straight 10", "turnout %[2]s %[3]s as W3", "straight 10", "turnout %[1]s trailing %[3]s as W4",
    "straight 10", "2 x %[4]s left"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["3 x straight 10"]
}
run "mine" {
  from   = "W3 diverging"
  pieces = ["2 x straight 10", "bumper"]
}
run "mill" {
  from   = "W4 diverging"
  pieces = ["%[4]s left", "straight 10", "bumper"]
}
`, left, right, turn, curve) + supply("T1") + feeder("F1", "main 1/2", "T1", 6)
}

// ReversingLoop is a dead-end run that turns back onto itself through a
// facing turnout: the one sound layout whose left rail meets its right one.
func ReversingLoop(construction string) string {
	return head("reversing loop", construction) + `
run "main" {
  to     = "W1 diverging"
  pieces = ["2 x straight 10", "turnout left ` + turn + ` as W1", "6 x ` + curve + ` left"]
}
` + supply("T1") + feeder("F1", "main 1/2", "T1", 6)
}

// Line is a dead-end run of straight pieces between two open ends, fed at its
// first joint.
func Line(construction string, pieces int) string {
	return head("line", construction) + fmt.Sprintf("run \"main\" { pieces = [\"%d x straight 10\"] }\n", pieces) +
		supply("T1") + feeder("F1", "main 1/2", "T1", 6)
}

// Loop is a closed run of straight pieces (its geometry does not close, its
// network does), fed at its last joint.
func Loop(construction string, pieces int) string {
	return head("loop", construction) + fmt.Sprintf(
		"run \"main\" {\n  closes = true\n  pieces = [\"%d x straight 10\"]\n}\n", pieces) +
		supply("T1") + feeder("F1", fmt.Sprintf("main %d/1", pieces), "T1", 6)
}

// Figure is a closed run that crosses itself.
func Figure(construction string) string {
	return head("figure of eight", construction) + `
run "main" {
  closes = true
  pieces = ["straight 10", "crossing 90 length 10 as X1", "6 x ` + curve + ` left", "X1 again",
    "6 x ` + curve + ` right"]
}
` + supply("T1") + feeder("F1", "main 3", "T1", 4)
}

func head(name, construction string) string {
	return fmt.Sprintf("name = %q\nabout = \"invented\"\nunits = \"in\"\nconstruction = %q\n", name, construction)
}

func supply(name string) string {
	return fmt.Sprintf("supply %q {\n  current = \"ac\"\n  volts   = 18\n  breaker = 10\n}\n", name)
}

func feeder(name, at, from string, feet int) string {
	return fmt.Sprintf("feeder %q {\n  at     = %q\n  supply = %q\n  wire   = \"16 AWG\"\n  length = \"%d ft\"\n}\n",
		name, at, from, feet)
}

// random gathers a random layout.
type random struct {
	rng    *rand.Rand
	items  []string // of the main run
	runs   string
	length int // pieces of the main run so far
	points int // turnouts named so far
}

// Random is a random layout file. The same state of rng gives the same text.
// Its geometry does not close; its network does.
func Random(rng *rand.Rand) string {
	construction := Constructions[rng.IntN(len(Constructions))]
	r := &random{rng: rng}
	r.add("3 x straight 10", 3)
	r.plain()
	for range rng.IntN(4) {
		switch rng.IntN(3) {
		case 0:
			r.siding()
		case 1:
			r.spur(false)
		default:
			r.spur(true)
		}
		r.plain()
	}
	closes := rng.IntN(3) > 0
	if rng.IntN(4) == 0 {
		r.add("crossing 60 length 10 as X1", 1)
		r.plain()
		if rng.IntN(2) == 0 {
			r.runs += fmt.Sprintf("run \"cross\" { pieces = [\"%d x straight 8\", \"X1 again\", \"3 x straight 8\"] "+
				"}\n", 1+rng.IntN(4))
		} else {
			r.add("2 x straight 10", 2) // at least two, or a joint comes twice
			r.add("X1 again", 0)
			r.plain()
		}
	}
	text := head("random", construction)
	text += fmt.Sprintf("run \"main\" {\n  closes = %v\n  pieces = [%s]\n}\n", closes, strings.Join(r.items, ", ")) +
		r.runs
	text += supply("T1")
	second := "T1"
	if rng.IntN(3) == 0 {
		second = "T2"
		text += supply("T2")
	}
	text += feeder("F1", fmt.Sprintf("main %d/%d", 1, 2), "T1", 1+rng.IntN(12))
	if rng.IntN(3) > 0 {
		text += feeder("F2", fmt.Sprintf("main %d", r.length/2), second, 1+rng.IntN(12))
	}
	return text + r.insulated(construction)
}

// insulated makes an insulated rail on the first pieces, between two gaps.
func (r *random) insulated(construction string) string {
	rails := []string{"left", "right", "center"}
	if strings.HasPrefix(construction, "two-rail") {
		rails = rails[:2]
	}
	if r.rng.IntN(2) == 0 {
		return ""
	}
	rail := rails[r.rng.IntN(len(rails))]
	return fmt.Sprintf("insulated \"main 1/2\" { rails = [%[1]q] }\ninsulated \"main 2/3\" { rails = [%[1]q] }\n", rail)
}

func (r *random) add(item string, pieces int) {
	r.items = append(r.items, fmt.Sprintf("%q", item))
	r.length += pieces
}

// plain adds a stretch without turnouts.
func (r *random) plain() {
	for range 1 + r.rng.IntN(3) {
		k := 1 + r.rng.IntN(4)
		if r.rng.IntN(2) == 0 {
			r.add(fmt.Sprintf("%d x straight %d", k, 4+r.rng.IntN(9)), k)
		} else {
			r.add(fmt.Sprintf("%d x %s %s", k, curve, r.hand()), k)
		}
	}
}

func (r *random) hand() string { return [2]string{"left", "right"}[r.rng.IntN(2)] }

func (r *random) turnout(trailing bool) string {
	r.points++
	name := fmt.Sprintf("W%d", r.points)
	way := ""
	if trailing {
		way = " trailing"
	}
	r.add(fmt.Sprintf("turnout %s%s %s as %s", r.hand(), way, turn, name), 1)
	return name
}

func (r *random) siding() {
	from := r.turnout(false)
	r.plain()
	to := r.turnout(true)
	r.runs += fmt.Sprintf("run \"siding%s\" {\n  from = \"%s diverging\"\n  to = \"%s diverging\"\n  pieces = [\"%d "+
		"x straight 10\"]\n}\n",
		from, from, to, 1+r.rng.IntN(6))
}

func (r *random) spur(trailing bool) {
	from := r.turnout(trailing)
	r.runs += fmt.Sprintf("run \"spur%s\" {\n  from = \"%s diverging\"\n  pieces = [\"%d x straight 9\", "+
		"\"bumper\"]\n}\n",
		from, from, 1+r.rng.IntN(5))
}
