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

	"fishplate/diagnose/outside"
)

// steering sets the clipboard, links, clears the screen, and turns the line
// round: what a terminal acts on, and what fools the eye.
const steering = "\x1b]52;c;cm0gLXJm\x07\x1b]8;;http://x\x1b\\\x1b[2J\u009b2J\r\u202e\u2066\u200b\u2028\ufeff"

// harmless holds everything that a command printed to what may be printed.
func harmless(t *testing.T, what string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		for _, r := range text {
			require.False(t, outside.Unseen(r), "%s: %U in %q", what, r, text)
		}
		for _, line := range strings.Split(text, "\n") {
			assert.False(t, strings.HasPrefix(line, "FORGED"), "%s: a line that is not ours: %q", what, line)
		}
	}
}

// A layout cannot carry what steers a terminal, and its lines are quoted so
// that it can be seen.
func TestLayoutsSteerNothing(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", "loop.hcl"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "loop.hcl")
	quoted, err := json.Marshal("x" + steering + "\nFORGED")
	require.NoError(t, err)
	for _, bad := range []string{
		strings.Replace(string(text), `name `, "name = "+string(quoted)+"\n#", 1),
		string(text) + "\nlandmark " + string(quoted) + ` { at = "main 1" }` + "\n",
		string(text) + "\nwrong = \"" + strings.ReplaceAll(steering, "\x1b", "") + "\"\n",
	} {
		require.NoError(t, os.WriteFile(path, []byte(bad), 0o600))
		for _, args := range [][]string{{"check"}, {"netlist"}, {"suspects"}, {"hunt", "--plain"}, {"hunt", "--json"},
			{"card", "--symptom", "short"}, {"card", "--symptom", "short", "--format", "md"}, {"drill", "--plain"}} {
			var out, errs bytes.Buffer
			code := run(append(args, path), strings.NewReader(""), &out, &errs)
			assert.Equal(t, exitBad, code, args)
			harmless(t, strings.Join(args, " "), out.String(), errs.String())
		}
	}
	var out, errs bytes.Buffer
	run([]string{"check", path}, strings.NewReader(""), &out, &errs)
	assert.Contains(t, errs.String(), "<U+202E>", "the line is quoted, and what cannot be seen in it is")
}

// Records, drill records and lessons show what they carry and forge no line.
func TestRecordsSteerNothing(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	bad := "x" + steering + "\nFORGED"
	path := filepath.Join(dir, "h.json")
	var out, errs bytes.Buffer
	typed := `{"symptom":"short"}` + "\n" + `{"reading":"bright"}` + "\n"
	require.Equal(t, exitOK, run([]string{"hunt", "--json", "--save", path, "demo"}, strings.NewReader(typed),
		&out, &errs))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var r map[string]any
	require.NoError(t, json.Unmarshal(data, &r))
	for _, key := range []string{"name", "finder", "last_change", "leads", "conditions", "repair", "still_open"} {
		r[key] = bad
	}
	r["notes"] = []any{map[string]any{"at": r["began"], "text": bad}}
	r["outcome"].(map[string]any)["piece"], r["outcome"].(map[string]any)["state"] = bad, bad
	data, err = json.Marshal(r)
	require.NoError(t, err)
	folder := filepath.Join(dir, "fishplate", "demo.hunts")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	for _, id := range []string{"2026-05-01-1", "2026-05-01-2"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, id+".json"), data, 0o600))
	}
	page := filepath.Join(dir, "page")
	for _, args := range [][]string{{"records", "demo"}, {"records", "demo", "1"}, {"records", "demo", "1", "2"},
		{"records", "demo", "--json"},
		{"report", "demo"}, {"report", "demo", "--format", "html"}, {"report", "demo", "-o", page + ".md"},
		{"report", "demo", "-o", page + ".html"},
		{"completion", "--records", "demo"}} {
		out.Reset()
		errs.Reset()
		assert.Equal(t, exitOK, run(args, strings.NewReader(""), &out, &errs), "%v: %s", args, errs.String())
		harmless(t, strings.Join(args, " "), out.String(), errs.String())
	}
	drills, err := json.Marshal(map[string]any{"fishplate_drill_records": 1, "records": []any{
		map[string]any{"date": bad, "name": bad, "layout": bad, "symptom": bad, "time_line": bad, "minutes": 3,
			"habits": []string{bad}},
		map[string]any{"date": bad, "name": bad + "2", "layout": "**bold** [a](b) <i>", "symptom": bad,
			"time_line": bad, "minutes": 3}}})
	require.NoError(t, err)
	file := filepath.Join(dir, "drills.json")
	require.NoError(t, os.WriteFile(file, drills, 0o600))
	for _, args := range [][]string{{"--progress"}, {"--sheet", page + "2.md"}, {"--sheet", page + "2.html"}} {
		out.Reset()
		errs.Reset()
		assert.Equal(t, exitOK, run(append([]string{"drill", "--records", file}, args...), strings.NewReader(""), &out,
			&errs), errs.String())
		harmless(t, strings.Join(args, " "), out.String(), errs.String())
	}
	for _, name := range []string{"page.md", "page.html", "page2.md", "page2.html"} {
		text, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		harmless(t, name, string(text))
		if name == "page2.md" {
			assert.NotContains(t, string(text), "**bold**")
			assert.NotContains(t, string(text), "[a](b)")
		}
	}
}
