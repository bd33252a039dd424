package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"

	"fishplate/diagnose/check"
	"fishplate/diagnose/unit"
)

// The width of the text: that of the terminal where there is one, within
// limits; else 80 for pipes and paper.
const (
	checkWidth = 80
	leastWidth = 30
)

func (w *world) checkWidth() int {
	out, ok := w.screen.(*os.File)
	if !ok {
		return checkWidth
	}
	width, _, err := term.GetSize(out.Fd())
	if err != nil || width <= 0 {
		return checkWidth
	}
	return min(max(width, leastWidth), checkWidth)
}

func (w commands) checkCommand() *cobra.Command {
	var asJSON bool
	var amps string
	c := w.does(&cobra.Command{
		Use:   "check LAYOUT",
		Short: "what is wrong with the design, before any power",
		Long: "Lists design problems, the worst first, and the volts that reach the worst place. " +
			"It ends with 1 when something would not work. - reads the layout from stdin.",
		Example: "fishplate check shelf.hcl\nfishplate check shelf.hcl --train-amps 5 --json",
	}, func(words []string) int { return w.check(words, amps, asJSON) })
	c.Flags().StringVar(&amps, "train-amps", "",
		"`AMPS` of the train (else the layout's largest, or 3 on three-rail and 1 on two-rail track)")
	c.Flags().Bool("plain", false, "as lines, which it always is")
	c.Flags().BoolVar(&asJSON, "json", false, "for programs (see: fishplate help json)")
	offer(c, "train-amps", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

// check lists design problems of a layout. It ends with exitBad when
// something would not work.
func (w *world) check(words []string, amps string, asJSON bool) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	var o check.Options
	if amps != "" {
		if o.TrainAmps, err = trainAmps(amps); err != nil {
			return w.usage(err.Error(), "")
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
	if asJSON {
		err = checkJSON(w.programs(), r)
	} else {
		_, err = io.WriteString(w.out, checkText(r, w.checkWidth(), src.warned))
	}
	if err != nil {
		return w.fail(err)
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

func checkJSON(to io.Writer, r *check.Report) error {
	out := *r
	out.Findings, out.Volts, out.Unsolved = list(r.Findings), nil, list(r.Unsolved)
	for _, v := range r.Volts {
		out.Volts = append(out.Volts, rounded(v))
	}
	out.Volts = list(out.Volts)
	return encode(to, struct {
		Works bool `json:"works"`
		check.Report
	}{r.Works(), out})
}

// rounded keeps four digits behind the point, so that the text is the same on
// every machine.
func rounded(v check.Volts) check.Volts {
	r := func(x *float64) { *x = math.Round(*x*1e4) / 1e4 }
	for _, x := range []*float64{&v.Volts, &v.WornVolts, &v.ShortAmps} {
		r(x)
	}
	if v.More != nil {
		m := *v.More
		r(&m.Volts)
		v.More = &m
	}
	v.Places = append([]check.PlaceVolts(nil), v.Places...)
	for i := range v.Places {
		r(&v.Places[i].Volts)
	}
	return v
}

// checkText is the report for people; warned is how many warnings the file gave.
func checkText(r *check.Report, width, warned int) string {
	b := paper{width: width}
	b.para("", fmt.Sprintf("%s: %s, %s, %s. Checked as drawn, with every part taken as sound.", r.Layout,
		unit.Count(r.Pieces, "piece"), unit.Count(r.Feeders, "feeder"), suppliesText(r.Supplies)))
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
	switch {
	case n == 0 && warned > 0:
		b.WriteString("\nNothing found but what reading the file told: " + unit.Count(warned, "warning") + ".\n")
	case n == 0:
		b.WriteString("\nNothing found.\n")
	}
	if len(r.Volts)+len(r.Unsolved) > 0 {
		b.WriteString("\nVOLTS\n")
	}
	for _, u := range r.Unsolved {
		b.para("  ", u+": not worked out while it is shorted or joined to another supply.")
	}
	for i := range r.Volts {
		voltsText(&b, &r.Volts[i])
	}
	return b.String()
}

func findingText(b *paper, n int, f *check.Finding) {
	b.para(fmt.Sprintf("%2d. ", n), f.Place+": "+f.What+".")
	b.para("    Why: ", f.Why+".")
	b.para("    Do: ", f.Do+".")
	if f.Caution != "" {
		b.para("    Caution: ", f.Caution+".")
	}
	if f.Basis != check.NoSource && f.Basis != check.Arithmetic {
		b.para("    Source: ", f.Basis+".")
	}
}

func suppliesText(n int) string {
	if n == 1 {
		return "1 supply"
	}
	return fmt.Sprintf("%d supplies", n)
}

func voltsText(b *paper, v *check.Volts) {
	s := fmt.Sprintf("%s, %.3g V at the posts. A train of %s (%s) has the least at %s: %.1f V", v.Supply, v.Posts,
		unit.Format(v.TrainAmps, unit.Ampere), v.Assumed, v.Worst, v.Volts)
	if v.Volts-v.WornVolts >= 0.1 {
		s += fmt.Sprintf(", or %.1f V with poor rails and joints", v.WornVolts)
	}
	s += "."
	if v.More != nil {
		s += fmt.Sprintf(" One more feeder (%s) helps most at %s: then the least is %.1f V, at %s.", v.More, v.More.At,
			v.More.Volts, v.More.Worst)
	} else if v.Volts < 0.95*v.Posts {
		s += " One more feeder alone would not bring a tenth of a volt: other places are as weak."
	} else {
		s += " One more feeder would not bring a tenth of a volt."
	}
	breaker := unit.Format(v.Breaker, unit.Ampere)
	if v.ShortTrips {
		s += fmt.Sprintf(" A dead short at %s trips its breaker of %s.", v.ShortAt, breaker)
	} else {
		s += fmt.Sprintf(" A dead short at %s may not trip its breaker of %s: wires and rails let %s through.",
			v.ShortAt, breaker, unit.FormatDigits(v.ShortAmps, unit.Ampere, 2))
	}
	b.para("  ", s)
}

// paper is text of a width.
type paper struct {
	strings.Builder
	width int
}

// No line breaks within "main 12", "5 A" and "two-rail": while lines are made,
// signs stand there that do not break.
var (
	breaking     = strings.NewReplacer("\u00a0", " ", "\u2011", "-")
	beforeNumber = regexp.MustCompile(`(\pL) (\d)`)
	behindNumber = regexp.MustCompile(`(\d) (AWG|ft|in|mm|mm2|A|V)\b`)
)

// para writes one paragraph behind a prefix, wrapped and hung under it.
func (b *paper) para(prefix, text string) {
	indent := min(len(prefix), 6)
	text = beforeNumber.ReplaceAllString(spoken(text), "$1\u00a0$2")
	text = strings.ReplaceAll(behindNumber.ReplaceAllString(text, "$1\u00a0$2"), "-", "\u2011")
	lines := strings.Split(ansi.Wordwrap(prefix[indent:]+text, b.width-indent, ""), "\n")
	for i, l := range lines {
		b.WriteString(prefix[:indent])
		if i == 0 {
			prefix = strings.Repeat(" ", indent)
		}
		b.WriteString(strings.TrimRight(breaking.Replace(l), " ") + "\n")
	}
}
