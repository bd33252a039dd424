package invent

import (
	"fmt"
	"strings"
)

// Club is a club's layout: three ovals of 120, 110 and 80 pieces beside each
// other with two spurs each, 386 pieces in all, one supply, nine feeders behind
// four toggles. Its geometry closes.
func Club() string {
	var b strings.Builder
	b.WriteString(head("club", "metal-tie"))
	spurs := []int{13, 13, 13, 13, 12, 12} // with the bumper
	for i, loop := range []struct {
		name  string
		sides int
	}{{"outer", 51}, {"main", 46}, {"inner", 31}} {
		side := fmt.Sprintf(`"%d x straight 10", "turnout left %s as W%%d", "8 x curve left diameter 60 angle 22.5"`,
			loop.sides, turn)
		fmt.Fprintf(&b, "run %q {\n  closes = true\n  pieces = [%s, %s]\n}\n", loop.name, fmt.Sprintf(side, 2*i+1),
			fmt.Sprintf(side, 2*i+2))
	}
	for i, n := range spurs {
		fmt.Fprintf(&b, "run \"spur%[1]d\" {\n  from   = \"W%[1]d diverging\"\n  pieces = [\"%[2]d x straight 10\", "+
			"\"bumper\"]\n}\n", i+1, n-1)
	}
	b.WriteString(supply("T1"))
	b.WriteString("insulated \"outer 60/61\" { rails = [\"center\"] }\ninsulated \"outer 120/1\" { rails = " +
		"[\"center\"] }\n")
	for i := range 4 {
		fmt.Fprintf(&b, "toggle \"S%d\" {\n  supply = \"T1\"\n}\n", i+1)
	}
	for i, f := range []struct {
		at     string
		toggle int
		feet   int
	}{{"outer 15", 1, 6}, {"outer 45", 1, 12}, {"outer 75", 2, 18}, {"outer 105", 2, 12}, {"main 10", 3, 5},
		{"main 46", 3, 12}, {"main 82", 3, 18}, {"inner 20", 4, 8}, {"inner 60", 4, 14}} {
		fmt.Fprintf(&b, "feeder \"F%d\" {\n  at     = %q\n  toggle = \"S%d\"\n  wire   = \"16 AWG\"\n  length = \"%d "+
			"ft\"\n}\n", i+1, f.at, f.toggle, f.feet)
	}
	b.WriteString("block \"front\" {\n  from   = \"outer 1\"\n  to     = \"outer 60\"\n  toggle = \"S1\"\n}\n")
	b.WriteString("block \"back\" {\n  from   = \"outer 61\"\n  to     = \"outer 120\"\n  toggle = \"S2\"\n}\n")
	return b.String()
}
