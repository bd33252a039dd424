package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"fishplate/diagnose/check"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/report"
	"fishplate/layoutfile"
	"fishplate/tui"
	"fishplate/tui/walk"
)

// stay is one visit to the full-screen program: it may go from the walk of a
// layout to its check and its hunt, and back.
type stay struct {
	w     *world
	look  *look
	st    *store     // of the hunt that is shown, nil while a layout is walked
	files *walkFiles // of the walk that is shown
	// rounds are what is said at the end of work around the hunt, nil where there was none.
	rounds func() []string
	// after is what is said last of all, where the hunt that is left came of other work.
	after []string
	// walked is of the walk that led to the hunt, nil where none did.
	walked *walkFiles
	src    *source // of the hunt
	again  string  // the command that goes on with the hunt
	// held are the locks of walks, given back when the program ends.
	held locks
	// practice is where the drills of the hunt's screens come from.
	practice *drills
}

// run shows screens until the user leaves.
func (s *stay) run(o tui.Options) int {
	w := s.w
	o.Input, o.Output, _ = w.terminal()
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGHUP)
	defer stop()
	defer hearTerm(stop)()
	roomForKeys()
	err := tui.Run(ctx, o)
	defer s.free()
	var crash *tui.Crash
	switch {
	case errors.As(err, &crash) && s.files != nil:
		return walks{w}.walkCrashed(crash, s.files.last)
	case errors.As(err, &crash):
		path := ""
		if s.st != nil {
			path = s.st.path
		}
		return w.crashed(crash, path)
	case err != nil && !errors.Is(err, context.Canceled):
		return w.fail(err)
	case err == nil:
		for _, l := range s.goodbye() {
			fmt.Fprintln(w.out, outside.Line(l))
		}
	}
	return exitOK
}

// hearTerm hears SIGTERM from the first moment on, when the framework does not yet:
// the system's own way would leave the terminal as it is. Where the framework has
// not ended the screens a while later they are ended by stop; both at once would
// wait for each other. What it gives back ends the hearing.
func hearTerm(stop func()) func() {
	const grace = 2 * time.Second
	heard := make(chan os.Signal, 1)
	over := make(chan struct{})
	signal.Notify(heard, syscall.SIGTERM)
	go func() {
		select {
		case <-heard:
		case <-over:
			return
		}
		select {
		case <-time.After(grace):
			stop()
		case <-over:
		}
	}()
	return func() {
		signal.Stop(heard)
		close(over)
	}
}

// free gives back what keeps a second fishplate away.
func (s *stay) free() {
	if s.practice != nil {
		s.practice.hold(nil)
	}
	s.held.free()
}

// goodbye says where what was begun on the screens is kept, and how to go on
// with it; nothing where nothing was begun.
func (s *stay) goodbye() []string {
	var out []string
	switch {
	case s.files != nil:
		out = s.files.goodbye()
	case s.st == nil:
		return s.rounds()
	case s.st.kept:
		out = s.st.goodbye(s.src, s.again, s.st.rec.Outcome.State == report.Proven)
	case s.walked != nil: // nothing was answered yet; the layout is there all the same
		out = s.walked.goodbye()
	}
	if s.files != nil {
		return out
	}
	if keep := s.practice.left(); keep != nil {
		out = append(out, "The drill is saved.", "Go on with it: fishplate drill --resume "+s.src.name+keep.words())
	}
	return append(out, s.after...)
}

// hunting is the hunt on a layout. What is wrong with it is said by w.
func (s *stay) hunting(w *world, a screenArgs) (tui.Options, error) {
	src, err := w.load(a.name)
	if err != nil {
		return tui.Options{}, err
	}
	o := tui.Options{Layout: src.layout, LayoutPath: src.path(), Demo: src.demo, Kit: a.kit.kit,
		KitKnown: a.kit.known(), KitTold: !a.kit.silent()}
	s.look.into(&o, os.Getenv)
	last := kitOnTable()
	if !o.KitTold && last.kit != nil {
		o.Kit, o.KitTold = *last.kit, true
	}
	if src.demo {
		o.Greeting = "This is the demo; open your own layout with: fishplate FILE"
	}
	if a.config == nil {
		a.config = w.config()
	}
	if n := len(a.config.problems); n > 0 {
		o.Greeting = "Settings: " + strings.ReplaceAll(a.config.problems[0], a.config.path,
			filepath.Base(a.config.path))
	}
	st, err := keep(src, a.save)
	if err != nil {
		o.Save = func([]byte) error { return err }
	} else {
		st.by(a.config)
		o.Close = st.close
		o.Save, o.Records = last.after(st.write), st.records()
		o.Start = func(k hunt.Kit) tui.Hunter {
			k.Track = st.learned()
			return &watched{hunt.New(src.layout, k), st}
		}
		if a.drill == nil { // a drill leaves the hunt to others
			if err := goOn(&o, src, st, a); err != nil {
				return tui.Options{}, errors.Join(err, st.close())
			}
		}
	}
	tour(&o, src)
	o.Symptom = a.symptom
	s.practice = drilling{w}.drills(a)
	o.Drills, o.Drill = s.practice, a.drill
	if a.drill != nil {
		o.Greeting = ""
	}
	if testHunter != nil {
		o.Hunt = testHunter(o.Hunt, src.layout, o.Kit)
	}
	s.around(&o, src, a)
	o.ToWalk = func() (tui.Options, error) {
		return s.aside(func(w *world) (tui.Options, error) { return s.walking(w, walkArgs{path: src.path()}) })
	}
	s.walked = s.files
	s.st, s.files, s.src, s.again = st, nil, src, "fishplate "+a.name
	if a.save != "" {
		s.again = fmt.Sprintf("fishplate hunt --save %s %s", a.save, a.name)
	}
	return o, nil
}

// walking is the walk of a layout.
func (s *stay) walking(w *world, a walkArgs) (tui.Options, error) {
	files := newWalkFiles(&s.held)
	var o tui.Options
	s.look.into(&o, os.Getenv)
	k := &tui.WalkOptions{Save: files.save, Keep: files.keep, KeepSizes: files.keepSizes, Check: w.checkOf}
	k.Setup = walk.Setup{Path: a.path, Shape: a.shape}
	k.SizesIn, k.SizesMM, k.Metric = files.sizes()
	k.Metric = k.Metric || a.metric
	for _, c := range layoutfile.Constructions() {
		k.Constructions = append(k.Constructions, walk.Construction{Name: c.Name, About: c.About})
	}
	if a.path != "" {
		if err := (walks{w}).takeUp(&k.Setup, files, a); err != nil {
			return o, err
		}
	}
	k.Hunt = func(path string) (tui.Options, error) {
		return s.aside(func(w *world) (tui.Options, error) {
			return s.hunting(w, screenArgs{name: path, kit: newKit(), fresh: files.wrote})
		})
	}
	o.Walk = k
	s.files, s.st = files, nil
	return o, nil
}

// aside makes other screens while some are shown: what would be said on the
// terminal comes back as the error.
func (s *stay) aside(do func(*world) (tui.Options, error)) (tui.Options, error) {
	var told bytes.Buffer
	w := *s.w
	w.err = outside.NewWriter(&told, outside.Marked)
	o, err := do(&w)
	if errors.Is(err, errTold) {
		first, _, _ := strings.Cut(told.String(), "\n")
		return o, errors.New(first)
	}
	return o, err
}

// checkOf is the check of a layout file, as text of a width.
func (w *world) checkOf(path string, width int) (string, error) {
	text, err := readOutside(path, outside.Layout)
	if err != nil {
		return "", err
	}
	f, problems := layoutfile.Read(path, text)
	if f == nil {
		return "", problems
	}
	r, err := check.Run(f.Layout, check.Options{})
	if err != nil {
		return "", err
	}
	return checkText(r, width, len(problems)), nil
}
