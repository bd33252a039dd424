package trial

import (
	"fmt"
	"strings"

	"fishplate/diagnose/internal/invent"
)

// Club is the text of a club's layout: three loops with spurs, blocks behind toggles.
func Club() string { return invent.Club() }

// Shapes are the names of the invented layouts that Shape writes.
var Shapes = []string{"dead-end", "loop", "loop-siding", "double", "yard"}

// Build says how an invented layout is made.
type Build struct {
	Construction string // name of a construction; empty: metal-tie
	// Own is the text of a construction block, put in front.
	Own string
	DC  bool
}

// Shape is the text of an invented layout of about this many pieces: their
// geometry does not close, their networks do. It fails for an unknown name and
// for fewer than 12 pieces.
func Shape(name string, pieces int, b Build) (string, error) {
	if pieces < 12 {
		return "", fmt.Errorf("%d pieces are too few: 12 at least", pieces)
	}
	made := map[string]func(int) string{"dead-end": deadEnd, "loop": loop, "loop-siding": siding, "double": double,
		"yard": yard}[name]
	if made == nil {
		return "", fmt.Errorf("%q is none of %s", name, strings.Join(Shapes, ", "))
	}
	construction, current := "metal-tie", "ac"
	if b.Construction != "" {
		construction = b.Construction
	}
	if b.DC {
		current = "dc"
	}
	head := fmt.Sprintf("name = %q\nabout = \"invented\"\nunits = \"in\"\nconstruction = %q\n%s",
		fmt.Sprintf("%s of %d", name, pieces), construction, b.Own)
	supply := fmt.Sprintf("supply \"T1\" {\n  current = %q\n  volts = 18\n  breaker = 10\n}\n", current)
	return head + made(pieces) + supply, nil
}

const turnout = "diameter 31 angle 45"

// closed is a closed run of straights.
func closed(run string, items ...string) string {
	return fmt.Sprintf("run %q {\n  closes = true\n  pieces = [%s]\n}\n", run, quoted(items))
}

// between is a run from one turnout's diverging leg to another's.
func between(run, from, to string, items ...string) string {
	out := fmt.Sprintf("run %q {\n  from = \"%s diverging\"\n", run, from)
	if to != "" {
		out += fmt.Sprintf("  to = \"%s diverging\"\n", to)
	}
	return out + fmt.Sprintf("  pieces = [%s]\n}\n", quoted(items))
}

func quoted(items []string) string {
	var out []string
	for _, i := range items {
		out = append(out, fmt.Sprintf("%q", i))
	}
	return strings.Join(out, ", ")
}

func straights(n int) string { return fmt.Sprintf("%d x straight 10", max(n, 1)) }

func feeder(name, at string) string {
	return fmt.Sprintf("feeder %q {\n  at = %q\n  supply = \"T1\"\n  wire = \"16 AWG\"\n  length = \"6 ft\"\n}\n", name,
		at)
}

func deadEnd(n int) string {
	return fmt.Sprintf("run \"main\" { pieces = [%s] }\n", quoted([]string{straights(n - 1), "bumper"})) +
		feeder("F1", "main 1/2")
}

func loop(n int) string {
	return closed("main", straights(n)) + feeder("F1", fmt.Sprintf("main %d/1", n))
}

// siding is a loop of about three quarters of the pieces, and a siding.
func siding(n int) string {
	side := n / 4
	main := n - side - 2
	return closed("main", straights(main/6), "turnout left "+turnout+" as W1", straights(side),
		"turnout right trailing "+turnout+" as W2", straights(main-main/6-side)) +
		between("siding", "W1", "W2", straights(side)) + feeder("F1", "main 1/2")
}

// double is two loops with a crossover each way, and a feeder on each.
func double(n int) string {
	a := (n - 4) / 2 // straights of each loop
	b := n - 4 - a
	return closed("outer", straights(a/6), "turnout left "+turnout+" as W1", straights(a/2), "turnout right trailing "+
		turnout+" as W4", straights(a-a/6-a/2)) +
		closed("inner", straights(b/6+1), "turnout left trailing "+turnout+" as W2", straights(b/2),
			"turnout right "+turnout+" as W3", straights(b-b/6-1-b/2)) +
		between("south", "W1", "W2") + between("north", "W3", "W4") + feeder("F1", "outer 1/2") +
		feeder("F2", "inner 1/2")
}

// yard is a lead with a ladder of turnouts and a track behind each, about six
// pieces to a track.
func yard(n int) string {
	tracks := max(2, min(8, n/8))
	each := (n - 4 - tracks) / (tracks + 1)
	lead := []string{"2 x straight 10"}
	var out string
	used := 2 + tracks + 1
	for i := range tracks {
		name := fmt.Sprintf("W%d", i+1)
		lead = append(lead, "turnout left "+turnout+" as "+name)
		out += between(fmt.Sprintf("yard%d", i+1), name, "", straights(each-1), "bumper")
		used += each
	}
	lead = append(lead, straights(n-used), "bumper")
	return fmt.Sprintf("run \"lead\" { pieces = [%s] }\n", quoted(lead)) + out + feeder("F1", "lead 1/2")
}
