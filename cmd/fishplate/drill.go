package main

import (
	crand "crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// drillArgs is a drill as asked for on the command line.
type drillArgs struct {
	name       string
	fault      string
	difficulty string
	minutes    int // of drill.Lengths, 0 for none
	class      int
	level      string
	lesson     string // number, or a file
	learner    string
	save       string
	sheet      string
	records    string
	paper      string
	kit        *kitFlag
	plain      bool
	resume     bool
	progress   bool
	asked      bool // something was asked for: begin at once
	look       *look
}

func (w commands) drillCommand() *cobra.Command {
	a := &drillArgs{kit: newKit()}
	c := w.does(&cobra.Command{
		Use:   "drill [LAYOUT]",
		Short: "practise: find a hidden fault with the meter and a coach",
		Long: "Hides a fault and hands over a meter; no real layout is touched. " +
			"What can be typed: fishplate help words. Lessons: fishplate drill --lesson list. " +
			"Before a class, on a projector: fishplate quiz.",
		Example: "fishplate drill --lesson 1\nfishplate drill shelf.hcl --fault short --difficulty easy",
	}, func(words []string) int { return drilling{w.world}.drill(a, words) })
	a.flags(c)
	return w.onLayout(c, false)
}

// drilling sets drills up, for plain lines and for the screen.
type drilling struct{ *world }

// drill practises on hidden faults.
func (w drilling) drill(a *drillArgs, words []string) int {
	var err error
	if a.name, err = one(words, demoName); err == nil {
		a.asked = a.fault != "" || a.minutes > 0 || a.class > 0 || a.lesson != "" || a.resume
		err = a.check(len(words) > 0)
	}
	if err != nil {
		return w.usage(err.Error(), "")
	}
	switch {
	case a.progress || a.sheet != "":
		return drillProgress(w.world, a)
	case a.lesson == "list":
		return drillLessons(w.world)
	case a.lesson == "format":
		return w.print(lesson.Reference())
	case a.paper != "":
		return w.onPaper(a)
	case a.plain:
		return drillPlain(w.world, a)
	}
	return drillScreens(w.world, a)
}

func (a *drillArgs) flags(c *cobra.Command) {
	fs := c.Flags()
	fs.StringVar(&a.fault, "fault", "", "`KIND` is "+strings.Join(drill.Kinds, ", ")+" (sometimes: it comes and goes)")
	fs.StringVar(&a.difficulty, "difficulty", drill.Usual, "`HOW` hard: "+strings.Join(drill.Difficulties, ", "))
	fs.IntVar(&a.minutes, "minutes", 0, "how long, about: `1` (a short on a small shelf), 5 (a plain fault), 20 (two "+
		"faults)")
	fs.IntVar(&a.class, "class", 0, "the same `NUMBER` and layout: the same fault for all")
	fs.StringVar(&a.lesson, "lesson", "",
		"a `LESSON` by number, or a file of your own; list names them, format says how one is written")
	fs.StringVar(&a.level, "coach", string(coach.Hint), "`LEVEL` is "+strings.Join(coachLevels(), ", "))
	fs.BoolVar(&a.plain, "plain", false, "line by line")
	fs.BoolVar(&a.resume, "resume", false, "go on with the drill that was left")
	fs.StringVar(&a.save, "save", "", "keep the drill in `FILE`, its fault sealed")
	fs.StringVar(&a.learner, "name", "", "who practises, for the records: `NAME`")
	fs.BoolVar(&a.progress, "progress", false, "the drills on record")
	fs.StringVar(&a.sheet, "sheet", "", "write the records as a class sheet to `FILE`, .md or .html")
	fs.StringVar(&a.paper, "paper", "", "write a sheet for pupils to `FILE` (.md, .html), and the teacher's key "+
		"beside it")
	fs.StringVar(&a.records, "records", "", "keep and read the records in `FILE`")
	fs.Var(a.kit, "meters", "what lies on the table: a `LIST` (see: fishplate help kit)")
	a.look = lookFlags(fs)
	offer(c, "fault", choices(drill.Kinds...))
	offer(c, "difficulty", choices(drill.Difficulties...))
	offer(c, "minutes", choices("1", "5", "20"))
	offer(c, "coach", choices(coachLevels()...))
	offer(c, "lesson", lessonsFor)
	offer(c, "meters", lists(hasWords...))
	factFlag(c, a.kit, kitFactNamed(methodFlag))
	offer(c, "class", cobra.NoFileCompletions)
	offer(c, "name", cobra.NoFileCompletions)
}

func coachLevels() []string {
	var out []string
	for _, l := range coach.Levels {
		out = append(out, string(l))
	}
	return out
}

// lessonsFor offers the lessons by number, each with its title; a file of
// one's own can be named too.
func lessonsFor(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	out := []string{"list\tnames them", "format\thow a lesson is written"}
	names, err := lesson.Names(lesson.Own())
	for i, name := range names {
		src, e := fs.ReadFile(lesson.Own(), name)
		if err != nil || e != nil {
			continue // Tab is no place for complaints
		}
		if l, err := lesson.Read(name, src); err == nil {
			out = append(out, fmt.Sprintf("%d\t%s", i+1, l.Title))
		}
	}
	return out, cobra.ShellCompDirectiveDefault
}

func (a *drillArgs) check(named bool) error {
	switch {
	case a.fault != "" && !slices.Contains(drill.Kinds, a.fault):
		return fmt.Errorf("--fault %s is none of %s", a.fault, strings.Join(drill.Kinds, ", "))
	case !slices.Contains(drill.Difficulties, a.difficulty):
		return fmt.Errorf("--difficulty %s is none of %s", a.difficulty, strings.Join(drill.Difficulties, ", "))
	case !slices.Contains(coach.Levels, coach.Level(a.level)):
		return fmt.Errorf("--coach %s is none of silent, hint, explain", a.level)
	case a.minutes != 0 && !slices.Contains(drill.Lengths, a.minutes):
		return fmt.Errorf("--minutes takes 1, 5 or 20")
	case a.minutes > 0 && (a.fault != "" || a.difficulty != drill.Usual || a.lesson != ""):
		return fmt.Errorf("--minutes chooses what is hidden and how hard it is: leave --fault, --difficulty and " +
			"--lesson out")
	case a.minutes == drill.AMinute && named:
		return fmt.Errorf("a drill of one minute has a shelf of its own: leave %s out", a.name)
	case a.minutes > 0 && a.paper != "":
		return fmt.Errorf("--paper takes --fault and --difficulty, not --minutes")
	case a.class < 0:
		return fmt.Errorf("--class takes a number from 1 on")
	case a.lesson != "" && named:
		return fmt.Errorf("a lesson has a layout of its own: leave %s out", a.name)
	case a.lesson != "" && a.fault != "":
		return fmt.Errorf("a lesson hides what it teaches: --fault does not go with it")
	case a.name == stdinName:
		return fmt.Errorf("a drill reads what you type from stdin, so the layout must be a file")
	}
	return nil
}

// generator is a generator seeded by the system.
func generator() *rand.Rand {
	var b [16]byte
	_, _ = crand.Read(b[:]) // it never fails; the program ends instead
	return rand.New(rand.NewPCG(binary.LittleEndian.Uint64(b[:8]), binary.LittleEndian.Uint64(b[8:])))
}

// table is a drill with what is needed to sit down at it.
type table struct {
	layout *track.Layout
	lesson *lesson.Lesson
	name   string // of the layout or the lesson, as it would be typed
}

// lay reads the layout, or the lesson and its layout.
func (w drilling) lay(a *drillArgs) (*table, error) {
	if a.lesson != "" {
		return w.layLesson(a.lesson)
	}
	if a.minutes == drill.AMinute {
		l, err := w.layShelf()
		return &table{layout: l, name: minuteShelf}, err
	}
	src, err := w.load(a.name)
	if err != nil {
		return nil, err
	}
	return &table{layout: src.layout, name: a.name}, nil
}

// minuteShelf is the layout of ours that a drill of one minute is on.
const minuteShelf = "shelf.layout.hcl"

// layShelf reads it.
func (w drilling) layShelf() (*track.Layout, error) {
	text, err := readIn(lesson.Own(), minuteShelf, outside.Layout)
	if err != nil {
		return nil, err
	}
	f, problems := layoutfile.Read(minuteShelf, text)
	if f == nil || problems.Errors() {
		return nil, fmt.Errorf("%s cannot be read: %v", minuteShelf, problems)
	}
	return f.Layout, nil
}

// layLesson finds a lesson by its number among ours, else by its file.
func (w drilling) layLesson(word string) (*table, error) {
	dir, file := lesson.Own(), ""
	if n, err := strconv.Atoi(word); err == nil {
		names, err := lesson.Names(dir)
		if err != nil {
			return nil, err
		}
		if n < 1 || n > len(names) {
			return nil, fmt.Errorf("there are lessons 1 to %d; list them with: fishplate drill --lesson list",
				len(names))
		}
		file = names[n-1]
	} else {
		dir, file = os.DirFS(filepath.Dir(word)), filepath.Base(word)
	}
	return w.readLesson(dir, file, word)
}

func (w drilling) readLesson(dir fs.FS, file, word string) (*table, error) {
	src, err := readIn(dir, file, outside.Lesson)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no lesson %s; list ours with: fishplate drill --lesson list", word)
	}
	if err != nil {
		return nil, fmt.Errorf("could not read the lesson: %w", err)
	}
	l, err := lesson.Read(file, src)
	if err != nil {
		return nil, err
	}
	text, err := readIn(dir, l.Layout, outside.Layout)
	if err != nil {
		return nil, fmt.Errorf("could not read the layout of lesson %s: %w", word, err)
	}
	f, problems := layoutfile.Read(l.Layout, text)
	if len(problems) > 0 {
		if err := problems.Render(w.err, l.Layout, 0, false); err != nil {
			return nil, err
		}
	}
	if f == nil || problems.Errors() {
		return nil, errTold
	}
	return &table{layout: f.Layout, lesson: l, name: word}, nil
}

// sit hides a fault, or takes up the drill that was left, whose file is given.
func (w drilling) sit(t *table, a *drillArgs, left []byte) (*sitting.Sitting, error) {
	rng := generator()
	salt := drill.Salt(rng)
	if left != nil {
		d, err := drill.Resume(t.layout, left)
		if err != nil {
			return nil, err
		}
		s := sitting.New(d, coach.Level(a.level), t.lesson, salt)
		if was, ok := drill.SavedSalt(left); ok {
			s.Salt = was // its record is known by it
		}
		return s, nil
	}
	o := drill.Options{Fault: a.fault, Difficulty: a.difficulty, Class: a.class, Minutes: a.minutes,
		Kit: a.kit.kit}.OfLength()
	if t.lesson != nil {
		o = t.lesson.Options()
		o.Class = a.class
	}
	if a.class > 0 {
		n, err := conductor.Build(t.layout)
		if err != nil {
			return nil, err
		}
		rng = drill.ClassGenerator(n, a.class)
	}
	d, err := drill.New(t.layout, o, rng)
	if err != nil {
		return nil, err
	}
	return sitting.New(d, coach.Level(a.level), t.lesson, salt), nil
}

func drillFile(name string) (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("there is no folder to keep the drill in: %w", err)
	}
	return filepath.Join(dir, "fishplate", name), nil
}

// drillLessons lists the lessons that come with the program.
func drillLessons(w *world) int {
	names, err := lesson.Names(lesson.Own())
	if err != nil {
		return w.fail(err)
	}
	var b strings.Builder
	for i := range names {
		t, err := drilling{w}.layLesson(strconv.Itoa(i + 1))
		if err != nil {
			return w.refused(err)
		}
		fmt.Fprintf(&b, "%2d  %s\n    %s\n", t.lesson.Number, t.lesson.Title, t.lesson.Goal)
	}
	b.WriteString("\nBegin one with: fishplate drill --lesson 1\n")
	return w.print(b.String())
}

// lessonOf gives the number of the lesson that a saved drill belongs to, "" for
// none of ours.
func lessonOf(saved []byte) string {
	o, err := drill.SavedOptions(saved)
	if err != nil || o.Lesson == "" {
		return ""
	}
	names, err := lesson.Names(lesson.Own())
	if err != nil {
		return ""
	}
	for i, name := range names {
		src, err := fs.ReadFile(lesson.Own(), name)
		if err != nil {
			continue
		}
		if l, err := lesson.Read(name, src); err == nil && l.Title == o.Lesson {
			return strconv.Itoa(i + 1)
		}
	}
	return ""
}
