package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fishplate/diagnose/check"
)

// checkWidth is the width of the text: it goes through pipes and onto paper.
const checkWidth = 80

// checkCommand lists design problems of a layout. It ends with exitBad when
// something would not work.
func checkCommand(w *world, args []string) int {
	const example = "fishplate check FILE [--train-amps 5] [--json]"
	fs := flag.NewFlagSet("check", flag.ContinueOnError)
	asJSON := fs.Bool("json", false, "")
	amps := fs.String("train-amps", "", "")
	words, err := parse(fs, args)
	if err != nil {
		return w.usage(err.Error(), example)
	}
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), example)
	}
	var o check.Options
	if *amps != "" {
		if o.TrainAmps, err = trainAmps(*amps); err != nil {
			return w.usage(err.Error(), example)
		}
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	r, err := check.Run(src.layout, o)
	if err != nil {
		return w.fail(err)
	}
	text := checkText(r)
	if *asJSON {
		if text, err = checkJSON(r); err != nil {
			return w.fail(err)
		}
	}
	if code := w.print(text); code != exitOK {
		return code
	}
	if !r.Works() {
		return exitBad
	}
	return exitOK
}

// trainAmps reads the current of a train: "5", "2.5 A", "2,5".
func trainAmps(s string) (float64, error) {
	t := strings.TrimSpace(strings.TrimRight(strings.TrimSpace(s), "aA"))
	a, err := strconv.ParseFloat(strings.Replace(t, ",", ".", 1), 64)
	if err != nil || math.IsNaN(a) || a < 0.01 || a > 30 {
		return 0, fmt.Errorf("--train-amps %q: write the amperes of the train, from 0.01 to 30", s)
	}
	return a, nil
}

func checkJSON(r *check.Report) (string, error) {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	out := *r
	out.Findings, out.Volts = list(r.Findings), list(r.Volts)
	err := enc.Encode(struct {
		Works bool `json:"works"`
		check.Report
	}{r.Works(), out})
	return b.String(), err
}

// checkText is the report for people.
func checkText(r *check.Report) string {
	var b strings.Builder
	para(&b, "", fmt.Sprintf("%s: %d pieces, %d feeders, %d supplies, looked at as drawn and with every part sound.",
		r.Layout, r.Pieces, r.Feeders, r.Supplies))
	n := 0
	for _, s := range check.Severities {
		if r.Count(s) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n%s\n", strings.ToUpper(string(s)))
		for i := range r.Findings {
			if f := &r.Findings[i]; f.Severity == s {
				n++
				findingText(&b, n, f)
			}
		}
	}
	if n == 0 {
		b.WriteString("\nNothing found.\n")
	}
	if len(r.Volts) > 0 {
		b.WriteString("\nVOLTS\n")
	}
	for i := range r.Volts {
		voltsText(&b, &r.Volts[i])
	}
	return b.String()
}

func findingText(b *strings.Builder, n int, f *check.Finding) {
	para(b, fmt.Sprintf("%2d. ", n), f.Place+": "+f.What+".")
	para(b, "    Why: ", f.Why+".")
	para(b, "    Do: ", f.Do+".")
	if f.Caution != "" {
		para(b, "    Caution: ", f.Caution+".")
	}
	if f.Basis != check.NoSource && f.Basis != check.Arithmetic {
		para(b, "    Source: ", f.Basis+".")
	}
}

func voltsText(b *strings.Builder, v *check.Volts) {
	s := fmt.Sprintf("%s, %.3g V: a train of %.3g A (%s) has the fewest volts at %s, %.1f V", v.Supply, v.Posts, v.TrainAmps, v.Assumed, v.Worst, v.Volts)
	if v.Volts-v.WornVolts >= 0.1 {
		s += fmt.Sprintf(" (%.1f V if all rails and joints are as poor as one layout in six has them)", v.WornVolts)
	}
	s += "."
	switch {
	case v.More != nil:
		s += fmt.Sprintf(" One more feeder (%s) helps most at %s: then the fewest are %.1f V, at %s.", v.More.Wire, v.More.At, v.More.Volts, v.More.Worst)
	default:
		s += " One more feeder would not bring a tenth of a volt."
	}
	if v.ShortAmps > 0 {
		s += fmt.Sprintf(" A dead short takes at least %.2g A (at %s) if the supply gives it.", v.ShortAmps, v.ShortAt)
	}
	para(b, "  ", s)
}

// para writes one paragraph behind a prefix, wrapped and hung under it.
func para(b *strings.Builder, prefix, text string) {
	indent := len(prefix)
	if indent > 4 {
		indent = 6
	}
	lines := strings.Split(ansi.Wordwrap(prefix+text, checkWidth-indent, ""), "\n")
	for i, l := range lines {
		if i > 0 {
			b.WriteString(strings.Repeat(" ", indent))
		}
		b.WriteString(strings.TrimRight(l, " ") + "\n")
	}
}
