//go:build !windows

package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile/course"
)

// marks are what a terminal acts on, or what fools the eye, and what no screen of
// ours writes. All stand in the hostile files of this test.
var marks = []string{"\x1b]52;", "\x1b]8;;", "\x1b[2J\x1b[9", "\u009b", "\u202e", "\u2066", "\u200b",
	"\u2028", "\ufeff"}

const screenSteering = "\x1b]52;c;cm0gLXJm\x07\x1b]8;;http://x\x1b\\\x1b[2J\x1b[9A\u009b2J\r" +
	"\u202e\u2066\u200b\u2028\ufeff"

// TestScreensSteerNothing opens what may come by mail on the screens: a lesson, a
// kept walk, records of hunts and of drills, a saved drill, a layout whose very
// name is hostile. Nothing in them reaches the terminal.
func TestScreensSteerNothing(t *testing.T) {
	bad := "bad" + screenSteering + "\nFORGED"
	quoted, err := json.Marshal(bad)
	require.NoError(t, err)
	dir := t.TempDir()
	write := func(name string, text []byte) {
		t.Helper()
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, text, 0o600))
	}
	layout, err := os.ReadFile("../../testdata/layouts/dead-end.hcl")
	require.NoError(t, err)
	write("shelf.hcl", layout)
	name := "x" + screenSteering + ".hcl"
	name = strings.NewReplacer("/", "", "\n", "").Replace(name)
	write(name, layout)
	q := string(quoted)
	write("bad.lesson.hcl", []byte("number = 12\ntitle = "+q+"\nlayout = \"shelf.hcl\"\nteaches = ["+q+"]\ngoal = "+q+
		"\ntold = "+q+
		"\nplays = [\"halving\"]\nfault = \"short\"\nmeters = [\"beeper\"]\nafter = "+q+
		"\ncheck \"found\" {\n  at_least = 1\n  says = "+q+"\n}\n"))
	c := course.New("walked", "metal-tie", false)
	require.NoError(t, c.Laying().Lay("straight 10", 3))
	kept, err := c.Kept().Bytes()
	require.NoError(t, err)
	require.Contains(t, string(kept), `"walked"`)
	write("walked.hcl.walk.json", []byte(strings.ReplaceAll(string(kept), `"walked"`, q)))
	drills, err := json.Marshal(map[string]any{"fishplate_drill_records": 1, "records": []any{
		map[string]any{"date": bad, "name": bad, "layout": bad, "lesson": bad, "symptom": bad, "time_line": bad,
			"minutes": 3, "habits": []string{bad}}}})
	require.NoError(t, err)
	write("fishplate/drill-records.json", drills)
	var out, errs bytes.Buffer
	typed := `{"symptom":"short"}` + "\n" + `{"reading":"beep"}` + "\n"
	require.Equal(t, exitOK, run([]string{"hunt", "--json", "--meters", "beeper", "--save",
		filepath.Join(dir, "h.json"), filepath.Join(dir, "shelf.hcl")}, strings.NewReader(typed), &out, &errs),
		errs.String())
	data, err := os.ReadFile(filepath.Join(dir, "h.json"))
	require.NoError(t, err)
	var r map[string]any
	require.NoError(t, json.Unmarshal(data, &r))
	for _, key := range []string{"name", "finder", "last_change", "leads", "conditions", "repair", "still_open"} {
		r[key] = bad
	}
	r["notes"] = []any{map[string]any{"at": r["began"], "text": bad}}
	for _, key := range []string{"piece", "state", "at", "verdict"} {
		r["outcome"].(map[string]any)[key] = bad
	}
	for _, e := range r["hunt"].(map[string]any)["journal"].([]any) { // what a hunt kept of its asks
		ask, ok := e.(map[string]any)["ask"].(map[string]any)
		if !ok {
			continue
		}
		for _, key := range []string{"why", "dial"} {
			ask[key] = bad
		}
		ask["steps"], ask["cautions"] = []string{bad}, []string{bad}
		ask["expect"] = []any{map[string]any{"shows": bad, "means": bad, "p": 0.5}}
	}
	data, err = json.Marshal(r)
	require.NoError(t, err)
	write("shelf.hcl.hunts/2026-05-01-1.json", data)
	write("shelf.hcl.hunts/2026-05-01-2.json",
		[]byte(`{"fishplate_record":1,"hunt":{"fishplate_hunt":1,"journal":[{"event":{"found":`+q+`}}]}}`))

	for _, s := range []struct {
		args []string
		play []string // what must be on the screen, and what is pressed then
	}{
		{[]string{"drill", "--lesson", "bad.lesson.hcl"}, []string{"FORGED", "\r", "The supply", "train off\r",
			"trains off.", "give up\r", "It was:", "?", "", "\x1b"}},
		{[]string{"drill", "shelf.hcl"}, []string{"A lit lamp", strings.Repeat("\x1b[B", 7) + "\r", "FORGED", "\x1b"}},
		{[]string{"walk", "walked.hcl"}, []string{"Going on", "?", "", "\x1b"}},
		{[]string{"--record", "2026-05-01-1", "shelf.hcl"}, []string{"DIAL", "w", "Why this", "\x1b", "DIAL", "e",
			"FORGED", "\r", "", "\x1b", "", "\x12", "FORGED", "\r", "FORGED", "\x1b"}},
		{[]string{"--record", "2026-05-01-2", "shelf.hcl"}, nil},
		{[]string{name}, []string{"What is wrong?", "?", "", "\x1b"}},
		{[]string{"drill", "--name", bad, "shelf.hcl"}, []string{"A lit lamp", strings.Repeat("\x1b[B", 5) + "\r",
			"The supply", "train off\r", "min", "\x1b"}},
	} {
		c := openConsole(t, window{w: 100, h: 30, dir: dir}, program(t), s.args...)
		for i := 0; i < len(s.play); i += 2 {
			c.see(s.play[i])
			c.press(s.play[i+1])
		}
		_, _ = c.tty.WriteString("\x03") // it may have ended
		c.status()
		for _, m := range marks {
			assert.NotContains(t, c.written(), m, "%q: %q", s.args, m)
		}
		for _, line := range strings.Split(c.screen(), "\n") {
			assert.False(t, strings.HasPrefix(line, "FORGED"), "%q", s.args)
		}
	}
}
