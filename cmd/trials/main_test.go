package main

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/hunt"

	"github.com/stretchr/testify/require"
)

// times and memory differ from run to run.
var measured = regexp.MustCompile(` +\d+\.\d\d +\d+ \| `)

func table(t *testing.T, args ...string) string {
	var out, bad strings.Builder
	require.Equal(t, 0, run(args, &out, &bad), "%s", bad.String())
	text, _, found := strings.Cut(out.String(), "\nmemory taken")
	require.True(t, found)
	return measured.ReplaceAllString(text, " | ")
}

// The same flags give the same table, whatever the number of workers.
func TestTablesAreRepeatable(t *testing.T) {
	if testing.Short() {
		t.Skip("three tables of hunts")
	}
	args := []string{"-shape", "dead-end", "-pieces", "20", "-meter", "cheap", "-level", "1", "-wrong",
		"0.03", "-n", "4"}
	a := table(t, append(args, "-workers", "1")...)
	require.Equal(t, a, table(t, append(args, "-workers", "3")...))
	require.Contains(t, a, "dead-end      20 cheap")
	require.NotEqual(t, a, table(t, append(args, "-seed", "2")...))
}

// The plain main table changes one thing at a time, the full one all.
func TestConditions(t *testing.T) {
	o, err := parse([]string{"-shape", "loop", "-pieces", "50"}, &strings.Builder{})
	require.NoError(t, err)
	require.Len(t, o.conditions(), 1+1+2+2)
	o.full = true
	require.Len(t, o.conditions(), 2*3*3)
	o, err = parse([]string{"-full"}, &strings.Builder{})
	require.NoError(t, err)
	require.Len(t, o.conditions(), 5*4*2*3*3)
}

func TestBadFlags(t *testing.T) {
	for _, args := range [][]string{{"-table", "x"}, {"-shape", "spiral"}, {"-pieces", "many"}, {"-n", "0"}, {"loop"},
		{"-meter", "best"}} {
		var out, bad strings.Builder
		require.Equal(t, 2, run(args, &out, &bad), "%v", args)
		require.Contains(t, bad.String(), "trials:")
	}
}

// Every other table can be made.
func TestOtherTables(t *testing.T) {
	if testing.Short() {
		t.Skip("a hunt or more a table")
	}
	inTenths(t, table(t, "-table", "calibration", "-shape", "dead-end", "-pieces", "16", "-meter", "cheap",
		"-level", "1", "-wrong", "0", "-n", "3"), 3)
	aim := table(t, "-table", "aim", "-pieces", "20", "-n", "1")
	require.Equal(t, 2, strings.Count(aim, "unknown"))
	require.Contains(t, table(t, "-table", "faults", "-shape", "dead-end", "-pieces", "14", "-n", "1"), "weak joint")
	require.Regexp(t, `yard 40 +battery, lamp known +\d`,
		table(t, "-table", "lamp", "-only", "yard 40: battery, lamp known", "-n", "1"))
	require.Regexp(t, `feeder two joints off +\d`, table(t, "-table", "happens", "-only", "feeder two", "-n", "1"))
}

// inTenths says that a table of calibration holds every hunt, each in the tenth that was
// stated for it, and that no more came true than there were.
func inTenths(t *testing.T, out string, hunts int) {
	t.Helper()
	sum := 0
	for _, row := range regexp.MustCompile(`(?m)^(0\.\d)-\S+ +(\d+) +(\S+) +(\S+)`).FindAllStringSubmatch(out, -1) {
		least, _ := strconv.ParseFloat(row[1], 64)
		n, _ := strconv.Atoi(row[2])
		stated, _ := strconv.ParseFloat(row[3], 64)
		right, _ := strconv.ParseFloat(row[4], 64)
		require.InDelta(t, least+0.05, stated, 0.0505, row[0])
		require.InDelta(t, math.Round(right*float64(n)), right*float64(n), 0.01*float64(n), row[0])
		require.LessOrEqual(t, right, 1.0, row[0])
		sum += n
	}
	require.Equal(t, hunts, sum, out)
}

// By ngspice too a lamp in series with a short is bright, whatever the short leaves behind it.
func TestLampByNgspice(t *testing.T) {
	out := table(t, "-shape", "loop", "-pieces", "50", "-n", "2", "-spice", "-log", "-meter", "cheap", "-level", "1",
		"-wrong", "0")
	require.Equal(t, 2, strings.Count(out, "lamp T1 hot | T1 common -> bright"), out)
}

// Every row of what happens can be laid.
func TestHappeningsCanBeLaid(t *testing.T) {
	for _, h := range happenings {
		kit, m := instruments("cheap", false)
		e, err := h.lay(&laying{&options{}, rand.New(rand.NewPCG(1, 2)), kit, m})
		require.NoError(t, err, h.name)
		require.Equal(t, e.Symptom.Kind == hunt.SymptomShort && !e.Symptom.Sometimes || h.name == "comes and goes",
			e.Bench.Tripped(), h.name)
	}
}
