package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/odds"
	"fishplate/diagnose/outside"
	pages "fishplate/diagnose/page"
	"fishplate/diagnose/report"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// oddsArgs is what is asked of the records.
type oddsArgs struct {
	export string
	write  bool
	planOut
}

func (w commands) oddsCommand() *cobra.Command {
	a := oddsArgs{}
	c := w.does(&cobra.Command{
		Use:   "odds LAYOUT [LAYOUT|COUNTS...]",
		Short: "what your own proven hunts say of how often which part fails",
		Long: "Counts what proven hunts of a layout found, cause by cause, against the odds that are assumed, with " +
			"the hunts of other layouts and with counts that others gave away; says what changes, how sure that is, " +
			"and where the next fault is likeliest. --write puts it into the layout's file, from which hunts take " +
			"it. --export gives the counts away, without names or places.",
		Example: "fishplate odds shelf.hcl yard.hcl club.json -o odds.html\nfishplate odds shelf.hcl --write",
	}, func(words []string) int { return counting{w.world}.odds(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.export, "export", "", "write the counts of these layouts to `FILE`, without names or places")
	fs.BoolVar(&a.write, "write", false, "put what changed into the first layout's file")
	a.flags(c)
	return w.onLayout(c, false)
}

// counting counts what proven hunts found.
type counting struct{ *world }

// counted is what was counted, for people and for programs.
type counted struct {
	Hunts    int            `json:"hunts"`
	Layouts  int            `json:"layouts"`
	Unlisted int            `json:"unlisted"`
	Weight   float64        `json:"prior_weight_hunts"`
	Causes   []odds.Learned `json:"causes"`
	Next     []odds.Place   `json:"next"`
}

// countsFile is what is given away.
type countsFile struct {
	Format int `json:"fishplate_counts"`
	odds.Tally
}

func (w counting) odds(a *oddsArgs, words []string) int {
	if len(words) == 0 {
		return w.usage("name a layout file", "")
	}
	if words[0] == demoName || words[0] == stdinName {
		return w.usage("records of your own layouts are counted: name a layout's file", "")
	}
	if a.export != "" && a.form+a.file != "" {
		return w.usage("--export writes the counts alone: leave --output and --format out", "")
	}
	if err := a.settle(); err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(words[0])
	if err != nil {
		return w.refused(err)
	}
	finds, layouts, others, err := w.gather(src, words)
	if err != nil {
		return w.refused(err)
	}
	tally, err := odds.Of(finds)
	if err != nil {
		return w.fail(err)
	}
	if a.export != "" {
		return w.giveAway(tally, a.export)
	}
	tally.Add(others)
	c, err := count(src, tally, finds, layouts)
	if err != nil {
		return w.fail(err)
	}
	code := w.plan(&a.planOut, c, func() *pages.Page { return c.page(src.layout.Name) })
	if code != exitOK || a.json || !a.write {
		return code
	}
	return w.writeCounted(src, c)
}

// count is what a tally of hunts says of a layout.
func count(src *source, tally *odds.Tally, finds []odds.Find, layouts int) (*counted, error) {
	next, err := tally.Next(src.layout, finds, 5)
	if err != nil {
		return nil, err
	}
	return &counted{Hunts: len(finds), Layouts: layouts, Unlisted: tally.Unlisted, Weight: odds.Weight,
		Causes: list(tally.Learn()), Next: list(next)}, nil
}

// gather takes the proven hunts of all layouts that are named, and counts of
// others. A layout is counted as it was during each hunt.
func (w counting) gather(first *source, words []string) (finds []odds.Find, layouts int,
	others *odds.Tally, err error) {
	others = &odds.Tally{}
	seen := map[string]bool{}
	for i, name := range words {
		if seen[name] {
			return nil, 0, nil, fmt.Errorf("%s is named twice", name)
		}
		seen[name] = true
		if strings.HasSuffix(strings.ToLower(name), ".json") {
			t, err := readCounts(name)
			if err != nil {
				return nil, 0, nil, err
			}
			others.Add(t)
			continue
		}
		src := first
		if i > 0 {
			if src, err = w.load(name); err != nil {
				return nil, 0, nil, err
			}
		}
		more, err := w.proven(src)
		if err != nil {
			return nil, 0, nil, err
		}
		finds, layouts = append(finds, more...), layouts+1
	}
	return finds, layouts, others, nil
}

// proven are the proven hunts of a layout. A record that cannot be read is passed
// over: records says why.
func (w counting) proven(src *source) ([]odds.Find, error) {
	a, err := newArchive(src)
	if err != nil {
		return nil, err
	}
	entries, err := a.list()
	if err != nil {
		return nil, err
	}
	var out []odds.Find
	kept := map[string]*track.Layout{}
	for i := range entries {
		r := entries[i].rec
		if r == nil || r.Outcome.State != report.Proven || r.Outcome.Piece == "" {
			continue
		}
		mode, ok := modeOf(hunt.SymptomKind(r.Outcome.Symptom))
		if !ok {
			continue
		}
		l, ok := kept[r.Layout.Text]
		if !ok {
			if l, err = r.built(src.layout); err != nil {
				continue
			}
			kept[r.Layout.Text] = l
		}
		out = append(out, odds.Find{Layout: l, Mode: mode, Piece: r.Outcome.Piece})
	}
	return out, nil
}

// modeOf is the kind of fault behind a symptom of the track; accessories and
// supplies are not counted.
func modeOf(k hunt.SymptomKind) (track.FaultMode, bool) {
	switch {
	case k.OfShort():
		return track.Bridged, true
	case k == hunt.SymptomDead:
		return track.Open, true
	case k == hunt.SymptomWeak:
		return track.Weak, true
	}
	return "", false
}

func readCounts(path string) (*odds.Tally, error) {
	data, err := readOutside(path, outside.Counts)
	if err != nil {
		return nil, err
	}
	var f countsFile
	if err := outside.Counts.Decode(data, &f); err != nil {
		return nil, fmt.Errorf("%s holds no counts: %w", path, err)
	}
	if f.Format != 1 {
		return nil, fmt.Errorf("%s holds no counts that this fishplate knows: they are made by odds --export", path)
	}
	if err := f.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &f.Tally, nil
}

func (w counting) giveAway(t *odds.Tally, path string) int {
	var b strings.Builder
	if err := encode(&b, countsFile{Format: 1, Tally: *t}); err != nil {
		return w.fail(err)
	}
	if err := writeFile(path, []byte(b.String())); err != nil {
		return w.fail(fmt.Errorf("%s could not be written: %w", path, err))
	}
	return w.print(fmt.Sprintf("wrote %s: counts of causes, no names, no places\n", path))
}

// writeCounted puts what changed into the file as it is now.
func (w counting) writeCounted(src *source, c *counted) int {
	var put []track.Counted
	for i := range c.Causes {
		if c.Causes[i].Telling() {
			put = append(put, c.Causes[i].Counted())
		}
	}
	err := oneAtATime("layout", src.name, func() error {
		_, text, err := w.read(src.name)
		if err != nil {
			return err
		}
		file, problems := layoutfile.Read(src.name, text)
		if file == nil {
			return problems
		}
		return writeFile(src.name, file.WithCounted(put))
	})
	if err != nil {
		return w.fail(fmt.Errorf("%s could not be written: %w", src.name, err))
	}
	return w.print(fmt.Sprintf("\n%s in %s; hunts begun from now on take them.\n",
		unit.Count(len(put), "changed odds line"), src.name))
}

// page is what was counted, for people.
func (c *counted) page(name string) *pages.Page {
	p := &pages.Page{Title: name + ": what its proven hunts found"}
	if c.Hunts == 0 && len(c.Causes) == 0 {
		p.Put(pages.Block{List: []string{"no proven hunt of it yet; odds stay as they are assumed"}})
		return p
	}
	about := []string{fmt.Sprintf("%s of %s counted, and what was given. The assumed odds weigh as much as %.0f hunts "+
		"(assumed too).", unit.Count(c.Hunts, "proven hunt"), unit.Count(c.Layouts, "layout"), c.Weight)}
	if c.Unlisted > 0 {
		about = append(about, fmt.Sprintf("%s found what is not on the list of faults for its symptom, and count for "+
			"nothing.", unit.Count(c.Unlisted, "hunt")))
	}
	p.Put(pages.Block{List: about})
	for _, k := range []struct {
		mode  track.FaultMode
		title string
	}{{track.Open, "Dead places"}, {track.Bridged, "Shorts"}, {track.Weak, "Weak places"}} {
		p.Put(c.causes(k.mode, k.title))
	}
	next := pages.Block{Title: "Where the next fault is likeliest", Head: []string{"", "share", "found bad"}}
	for _, x := range c.Next {
		row, aloud := []string{x.Piece, percent(x.Share), ""}, x.Piece+": "+percent(x.Share)
		if x.Found > 0 {
			row[2] = timesWord(x.Found)
			aloud += ", found bad " + row[2]
		}
		next.Rows, next.Aloud = append(next.Rows, row), append(next.Aloud, aloud)
	}
	p.Put(next)
	return p
}

// causes is what was counted of one kind of fault.
func (c *counted) causes(mode track.FaultMode, title string) pages.Block {
	b := pages.Block{Head: []string{"what failed", "found", "assumed", "share was", "share now", "nine times in ten",
		"odds times"}}
	for i := range c.Causes {
		x := &c.Causes[i]
		if x.Mode != mode || x.Found < 0.05 && !x.Telling() {
			continue
		}
		b.Title = fmt.Sprintf("%s (%s)", title, unit.Count(int(math.Round(x.Hunts)), "hunt"))
		within := percent(x.Low) + " to " + percent(x.High)
		b.Rows = append(b.Rows, []string{string(x.Part), fmt.Sprintf("%.1f", x.Found), fmt.Sprintf("%.1f", x.Expected),
			percent(x.Assumed), percent(x.Share), within, fmt.Sprintf("%.2f", x.Times)})
		b.Aloud = append(b.Aloud, fmt.Sprintf("%s: found %.1f times, %.1f assumed. Its share was %s, now %s (%s, nine "+
			"times in ten): odds times %.2f.",
			x.Part, x.Found, x.Expected, percent(x.Assumed), percent(x.Share), within, x.Times))
	}
	return b
}

func percent(p float64) string {
	if p < 0.1 {
		return fmt.Sprintf("%.1f %%", 100*p)
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

func timesWord(n int) string {
	if n == 1 {
		return "once before"
	}
	return fmt.Sprintf("%d times before", n)
}
