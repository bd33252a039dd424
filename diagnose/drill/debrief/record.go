package debrief

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/outside"
)

// Record is what is kept of a drill.
type Record struct {
	// ID tells drills apart: one that is put on record again takes its own
	// place. Empty in records from before there were any.
	ID       string   `json:"id,omitempty"`
	Date     string   `json:"date"` // as the caller writes it, 2026-11-25
	Name     string   `json:"name,omitempty"`
	Layout   string   `json:"layout"`
	Lesson   string   `json:"lesson,omitempty"`
	Class    int      `json:"class,omitempty"`
	Symptom  string   `json:"symptom"`
	Passed   bool     `json:"passed"`
	GaveUp   bool     `json:"gave_up,omitempty"`
	Minutes  float64  `json:"minutes"`
	Readings int      `json:"readings"`
	Lifts    int      `json:"lifts"`
	Wrong    int      `json:"wrong"`
	Stops    int      `json:"stops"`
	Program  float64  `json:"program_minutes"`
	Halving  float64  `json:"halving_minutes"` // 0 where halving does not find it
	Strip    string   `json:"time_line"`
	Habits   []string `json:"habits,omitempty"`
}

// stripCells is the length of a kept time line.
const stripCells = 60

// Record is what to keep. name may be empty; date is the caller's.
func (b *Debrief) Record(name, date string) Record {
	c := b.Parties[0].Counts
	r := Record{ID: hex.EncodeToString(b.salt[:]), Date: date, Name: name, Layout: b.Layout, Lesson: b.Lesson,
		Class: b.class, Symptom: b.fault, Passed: b.Passed, GaveUp: c.GaveUp,
		Minutes: tenth(c.Minutes), Readings: c.Readings, Lifts: c.Lifts, Wrong: c.Wrong, Stops: c.Stops,
		Strip: Strip(b.Parties[0].Log, b.Scale(stripCells), stripCells)}
	for _, p := range b.Parties[1:] {
		if !p.Found {
			continue
		}
		if p.Name == "program" {
			r.Program = tenth(p.Counts.Minutes)
		} else {
			r.Halving = tenth(p.Counts.Minutes)
		}
	}
	for _, a := range b.Lessons {
		if a.Habit != "" {
			r.Habits = append(r.Habits, string(a.Habit))
		}
	}
	return r
}

func tenth(x float64) float64 { return float64(int(x*10+0.5)) / 10 }

// records is the file of records.
type records struct {
	Format  int      `json:"fishplate_drill_records"`
	Records []Record `json:"records"`
}

// Add puts a record behind those of a file, or in the place of the same drill's;
// data may be empty.
func Add(data []byte, r Record) ([]byte, error) {
	list, err := Read(data)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(list, func(old Record) bool { return r.ID != "" && old.ID == r.ID })
	if i >= 0 {
		list[i] = r
	} else {
		list = append(list, r)
	}
	return json.MarshalIndent(records{1, list}, "", " ")
}

// Read gives the records of a file; data may be empty.
func Read(data []byte) ([]Record, error) {
	if len(data) == 0 {
		return nil, nil
	}
	var f records
	if err := outside.Drills.Decode(data, &f); err != nil || f.Format != 1 {
		if err == nil {
			err = fmt.Errorf("it is of another version")
		}
		return nil, fmt.Errorf("this is no file of drill records that this version knows: %w", err)
	}
	for i := range f.Records {
		if err := f.Records[i].check(); err != nil {
			return nil, fmt.Errorf("record %d of it is damaged: %w", i+1, err)
		}
	}
	return f.Records, nil
}

// check refuses figures that cannot be, and puts every text on one line.
func (r *Record) check() error {
	const most = 1e6 // minutes, two years
	for _, x := range []float64{r.Minutes, r.Program, r.Halving, float64(r.Readings), float64(r.Lifts),
		float64(r.Wrong), float64(r.Stops), float64(r.Class)} {
		if !(x >= 0 && x <= most) {
			return fmt.Errorf("%g minutes, readings or lifts cannot be", x)
		}
	}
	texts := []*string{&r.ID, &r.Date, &r.Name, &r.Layout, &r.Lesson, &r.Symptom, &r.Strip}
	for i := range r.Habits {
		texts = append(texts, &r.Habits[i])
	}
	for _, t := range texts {
		*t = outside.Line(*t)
	}
	return nil
}

// ratio is the learner's minutes as a multiple of the program's, 0 when there
// is none.
func (r *Record) ratio() float64 {
	if r.Program <= 0 || r.GaveUp {
		return 0
	}
	return r.Minutes / r.Program
}

// what names what was drilled: the lesson, else the layout.
func (r *Record) what() string {
	switch {
	case r.Lesson != "":
		return r.Lesson
	case r.Class > 0:
		return fmt.Sprintf("%s, class %d", r.Layout, r.Class)
	}
	return r.Layout
}

// Progress is the records in lines, newest last, and what they show over time.
func Progress(list []Record) []string {
	if len(list) == 0 {
		return []string{"No drill is on record yet. Begin one with: fishplate drill --lesson 1"}
	}
	out := []string{fmt.Sprintf("%-10s  %-28s %6s %8s %6s %6s  %s", "date", "drill", "min", "program", "read",
		"lifts", "result")}
	for i := range list {
		r := &list[i]
		name := r.what()
		if r.Name != "" {
			name = r.Name + ": " + name
		}
		out = append(out, fmt.Sprintf("%-10s  %-28s %6.1f %8s %6d %6d  %s", r.Date, cut(name, 28), r.Minutes,
			orDash(r.Program), r.Readings, r.Lifts, r.result()))
	}
	return append(out, trends(list)...)
}

// Of are the records of one person, by name; all of them for no name.
func Of(list []Record, name string) []Record {
	if name == "" {
		return list
	}
	var out []Record
	for _, r := range list {
		if strings.EqualFold(r.Name, name) {
			out = append(out, r)
		}
	}
	return out
}

// trends is what the records show over time, of each person where they have
// names.
func trends(list []Record) []string {
	var names []string
	for i := range list {
		if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, list[i].Name) }) {
			names = append(names, list[i].Name)
		}
	}
	if len(names) < 2 {
		return trend(list)
	}
	var out []string
	for _, n := range names {
		var own []Record
		for _, r := range list {
			if strings.EqualFold(r.Name, n) {
				own = append(own, r)
			}
		}
		who := n
		if who == "" {
			who = "without a name"
		}
		for _, l := range trend(own) {
			if l != "" {
				out = append(out, who+": "+l)
			}
		}
	}
	if len(out) > 0 {
		out = append([]string{""}, out...)
	}
	return out
}

func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-2]) + ".."
}

func orDash(x float64) string {
	if x <= 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f", x)
}

func (r *Record) result() string {
	switch {
	case r.GaveUp:
		return "given up"
	case r.Passed:
		return "passed"
	}
	return "found, not passed"
}

// trend compares the older half of the drills with the newer one, and names the
// habits that came up most.
func trend(list []Record) []string {
	var ratios []float64
	habits := map[string]int{}
	for i := range list {
		if x := list[i].ratio(); x > 0 {
			ratios = append(ratios, x)
		}
		for _, h := range list[i].Habits {
			habits[h]++
		}
	}
	var out []string
	if n := len(ratios); n >= 4 {
		out = append(out, "", fmt.Sprintf(
			"Minutes as a multiple of the program's: %.1f in the first %d drills, %.1f in the last %d.",
			mean(ratios[:n/2]), n/2, mean(ratios[n/2:]), n-n/2))
	}
	if len(habits) > 0 {
		var names []string
		for h := range habits {
			names = append(names, h)
		}
		slices.SortFunc(names, func(a, b string) int {
			if habits[a] != habits[b] {
				return habits[b] - habits[a]
			}
			return strings.Compare(a, b)
		})
		for i, h := range names {
			names[i] = fmt.Sprintf("%s (%d)", coach.Habit(h).Words(), habits[h])
		}
		out = append(out, "Habits that cost most: "+strings.Join(names[:min(3, len(names))], ", ")+".")
	}
	return out
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, y := range x {
		sum += y
	}
	return sum / float64(len(x))
}
