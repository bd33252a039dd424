package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/report"
)

// shelf puts a small layout into a folder of its own and opens its archive,
// with a clock that the test moves.
func shelf(t *testing.T) (*source, *time.Time) {
	path := filepath.Join(t.TempDir(), "shelf.hcl")
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o644))
	w := newWorld(nil, io.Discard, os.Stderr)
	src, err := w.load(path)
	require.NoError(t, err)
	clock := time.Date(2026, 5, 1, 20, 0, 0, 0, time.UTC)
	return src, &clock
}

func storeAt(t *testing.T, src *source, clock *time.Time) *store {
	st, err := keep(src, "")
	require.NoError(t, err)
	st.now = func() time.Time { return *clock }
	st.archive.now = st.now
	return st
}

// started is a hunt with an event, and its journal.
func started(t *testing.T, src *source) (*hunt.Hunt, []byte) {
	h := hunt.New(src.layout, hunt.Kit{Beeper: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	data, err := h.Save()
	require.NoError(t, err)
	return h, data
}

func TestEveryHuntHasAFileOfItsOwn(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	a, b := storeAt(t, src, clock), storeAt(t, src, clock)
	require.NoError(t, a.write(data))
	require.NoError(t, b.write(data))
	assert.NotEqual(t, a.path, b.path)
	assert.Equal(t, "2026-05-01-1.json", filepath.Base(a.path))
	assert.Equal(t, "2026-05-01-2.json", filepath.Base(b.path))
	require.NoError(t, a.close())
	require.NoError(t, b.close())
	list, err := a.archive.list()
	require.NoError(t, err)
	assert.Len(t, list, 2, "nothing but the two records is left in the folder")
	files, err := os.ReadDir(a.archive.dir)
	require.NoError(t, err)
	assert.Len(t, files, 2)
}

// The serial goes on past nine in the order that people count.
func TestNewestIsTheOneBegunLast(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	last := ""
	for range 12 {
		st := storeAt(t, src, clock)
		require.NoError(t, st.write(data))
		require.NoError(t, st.close())
		last = st.path
	}
	e, err := storeAt(t, src, clock).find()
	require.NoError(t, err)
	assert.Equal(t, last, e.path)
	assert.Equal(t, "2026-05-01-12", e.id)
}

// A second program cannot take up a hunt that is open, nor add a note to it;
// it can once the first has ended.
func TestSecondProgramIsKeptAway(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	first := storeAt(t, src, clock)
	require.NoError(t, first.write(data))
	second := storeAt(t, src, clock)
	e, err := second.find()
	require.NoError(t, err)
	var busy *errBusy
	require.ErrorAs(t, second.goOn(e), &busy)
	require.ErrorAs(t, second.archive.edit(e, func(r *record) { r.Repair = "x" }), &busy)
	assert.Contains(t, busy.Error(), "open in another fishplate")
	require.NoError(t, first.close())
	require.NoError(t, second.archive.edit(e, func(r *record) { r.Repair = "x" }))
	require.NoError(t, second.goOn(e))
	require.NoError(t, second.close())
}

// A file that something else changed is never overwritten: the hunt moves on
// to another file and says so.
func TestAChangedFileIsLeftAlone(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	st := storeAt(t, src, clock)
	require.NoError(t, st.write(data))
	was := st.path
	require.NoError(t, os.WriteFile(was, []byte("from another machine"), 0o644))
	var moved *errMoved
	require.ErrorAs(t, st.write(data), &moved)
	assert.Equal(t, was, moved.from)
	assert.Equal(t, st.path, moved.to)
	now, err := os.ReadFile(was)
	require.NoError(t, err)
	assert.Equal(t, "from another machine", string(now))
	require.NoError(t, st.write(data), "and then it goes on there")
	require.NoError(t, st.close())
	_, err = os.Stat(moved.to)
	require.NoError(t, err)

	fixed, err := keep(src, filepath.Join(t.TempDir(), "mine.json"))
	require.NoError(t, err)
	require.NoError(t, fixed.write(data))
	require.NoError(t, os.WriteFile(fixed.path, []byte("x"), 0o644))
	require.ErrorContains(t, fixed.write(data), "was changed by another program")
	require.NoError(t, fixed.close())
}

// A folder that cannot be made is an error of the save, and the hunt can try
// again.
func TestNoPlaceToSave(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	st := storeAt(t, src, clock)
	require.NoError(t, os.WriteFile(st.archive.dir, nil, 0o644)) // a file where the folder belongs
	require.Error(t, st.write(data))
	require.NoError(t, os.Remove(st.archive.dir))
	require.NoError(t, st.write(data))
	require.NoError(t, st.close())
}

// The outcome in the list is the one of the journal, also where the program
// was cut off before it could note it.
func TestOutcomeAfterACutOff(t *testing.T) {
	src, clock := shelf(t)
	h, data := started(t, src)
	st := storeAt(t, src, clock)
	require.NoError(t, st.write(data))
	v := h.View()
	st.see(h, &v)
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	require.NoError(t, h.Apply(hunt.Event{Found: "main 3"}))
	data, err := h.Save()
	require.NoError(t, err)
	require.NoError(t, st.write(data)) // and no close
	e := readEntry("x", st.path)
	require.NoError(t, e.err)
	assert.NotEqual(t, "main 3", e.rec.Outcome.Piece)
	st.archive.refresh(&e)
	assert.Equal(t, "main 3", e.rec.Outcome.Piece)
	assert.Equal(t, report.Found, e.rec.Outcome.State)
	assert.Equal(t, 1, e.rec.Outcome.Readings)
	v = h.View()
	st.see(h, &v)
	require.NoError(t, st.close())
	kept := readEntry("x", st.path)
	assert.Equal(t, e.rec.Outcome, kept.rec.Outcome, "noted at the end and worked out again: the same")
}

// Time spent is what lies between answers, without long pauses.
func TestTimeSpent(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	st := storeAt(t, src, clock)
	for _, pause := range []time.Duration{0, 2 * time.Minute, 5 * time.Hour, 3 * time.Minute} {
		*clock = clock.Add(pause)
		require.NoError(t, st.write(data))
	}
	assert.InDelta(t, 5, st.rec.Spent, 1e-9)
	require.NoError(t, st.close())
	next := storeAt(t, src, clock)
	e, err := next.find()
	require.NoError(t, err)
	require.NoError(t, next.goOn(e))
	*clock = clock.Add(10 * time.Minute)
	require.NoError(t, next.write(data))
	assert.InDelta(t, 5, next.rec.Spent, 1e-9, "the time before the first answer of a session is not known")
	require.NoError(t, next.close())
}

// An old hunt keeps its journal and its date, byte for byte in meaning.
func TestMigration(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	st := storeAt(t, src, clock)
	old := src.name + ".hunt.json"
	require.NoError(t, os.WriteFile(old, data, 0o644))
	day := time.Date(2025, 12, 24, 18, 0, 0, 0, time.Local)
	require.NoError(t, os.Chtimes(old, day, day))
	said, err := st.archive.migrate()
	require.NoError(t, err)
	assert.Contains(t, said, st.archive.dir)
	_, err = os.Stat(old)
	assert.True(t, errors.Is(err, os.ErrNotExist))
	e, err := st.find()
	require.NoError(t, err)
	assert.Equal(t, "2025-12-24-1", e.id)
	assert.True(t, day.Equal(e.rec.Began))
	var was, is any
	require.NoError(t, json.Unmarshal(data, &was))
	require.NoError(t, json.Unmarshal(e.rec.Hunt, &is))
	assert.Equal(t, was, is)
	said, err = st.archive.migrate()
	require.NoError(t, err)
	assert.Empty(t, said, "once is enough")
}

// Among ten thousand records the newest are found without reading them all: a
// hunt, a report and a record start within half a second of processor time.
func TestTenThousandRecords(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	st := storeAt(t, src, clock)
	require.NoError(t, st.write(data))
	require.NoError(t, st.close())
	for day := range 10_000 / 50 {
		for n := range 50 {
			id := fmt.Sprintf("%s-%d.json", clock.AddDate(0, 0, -1-day).Format(time.DateOnly), n+1)
			require.NoError(t, os.Link(st.path, filepath.Join(st.archive.dir, id)))
		}
	}
	dir := t.TempDir()
	for _, x := range []struct {
		words []string
		says  string
	}{
		{[]string{"hunt", "--plain", src.name}, st.path},
		{[]string{"report", src.name}, "Fault record"},
		{[]string{"records", src.name, "3"}, "Fault record"},
	} {
		cmd := exec.Command(program(t), x.words...)
		cmd.Env = []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + dir}
		cmd.Stdin = strings.NewReader("quit\n")
		out, err := cmd.Output()
		require.NoError(t, err)
		assert.Contains(t, string(out), x.says)
		took := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		t.Logf("%v: %v of processor time", x.words, took)
		assert.Less(t, took, 500*time.Millisecond)
	}
}

// A record from the future, as a clock that was wrong leaves one, hides none of
// today's: not at the start, not for --resume, not in the list.
func TestFutureHidesNothing(t *testing.T) {
	src, clock := shelf(t)
	_, data := started(t, src)
	today := *clock
	*clock = today.AddDate(40, 0, 0)
	for range 20 {
		st := storeAt(t, src, clock)
		require.NoError(t, st.write(data))
		require.NoError(t, st.close())
	}
	*clock = today
	st := storeAt(t, src, clock)
	e, note, err := st.archive.newest(true)
	require.NoError(t, err)
	assert.Nil(t, e)
	assert.Contains(t, note, "future")
	require.NoError(t, st.write(data))
	require.NoError(t, st.close())
	for _, strict := range []bool{false, true} {
		e, _, err := st.archive.newest(strict)
		require.NoError(t, err)
		assert.Equal(t, st.path, e.path)
	}
	e, err = st.archive.find("1")
	require.NoError(t, err)
	assert.Equal(t, st.path, e.path)
}

// A hunt that another program has gone on with since it was read, or that was
// begun in a file that another began meanwhile, is not written over.
func TestSomebodyWasThereBefore(t *testing.T) {
	src, clock := shelf(t)
	h, data := started(t, src)
	st := storeAt(t, src, clock)
	require.NoError(t, st.write(data))
	require.NoError(t, st.close())
	late := storeAt(t, src, clock)
	e, err := late.find()
	require.NoError(t, err)
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	more, err := h.Save()
	require.NoError(t, err)
	require.NoError(t, st.goOn(e))
	require.NoError(t, st.write(more))
	require.NoError(t, st.close())
	require.ErrorContains(t, late.goOn(e), "just now")

	path := filepath.Join(t.TempDir(), "x.json")
	first, err := keep(src, path)
	require.NoError(t, err)
	second, err := keep(src, path)
	require.NoError(t, err)
	e, err = second.find()
	require.NoError(t, err)
	require.Nil(t, e)
	require.NoError(t, first.write(more))
	require.NoError(t, first.close())
	require.NoError(t, second.write(data))
	require.NoError(t, second.close())
	assert.JSONEq(t, string(more), string(readEntry("", path+".old").rec.Hunt))
	assert.JSONEq(t, string(data), string(readEntry("", path).rec.Hunt))
}
