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
)

// TestOneObjectALine gives the JSON door lines of every kind, before the symptom
// and after it: each gets exactly one object, and a key that stands twice, in
// capitals too, is an error.
func TestOneObjectALine(t *testing.T) {
	home(t)
	lines := []string{"", "   ", "{}", "[]", "null", "true", "7", `"x"`, "{", "}", "nonsense", "\x00", "\xff\xfe",
		`{"undo":1,"undo":2}`, `{"undo":1,"Undo":2}`,
		`{"reading":"1 mV","reading":"2 mV"}`, `{"change":{"n":1,"N":2,"reading":"dark"}}`,
		`{"change":{"n":1,"reading":"dark","READING":"bright"}}`,
		`{"kit":{"lamp_watts":21,"Lamp_Watts":5}}`, `{"show":"evidence"}`, `{"show":"suspects"}`, `{"show":"step"}`,
		`{"show":"kit"}`, `{"show":1}`, `{"without":1}`, `{"without":"x"}`,
		`{"reading":"dark"} {"reading":"dark"}`, `{"quit":false}`, `{"quit":1}`, `{"undo":0}`, `{"undo":1e9}`,
		`{"redo":-1}`, `{"found":"nowhere"}`, `{"kit":{}}`, `{"kit":null}`,
		`{"kit":{"lamp_watts":21},"symptom":"short"}`, strings.Repeat("x", 70_000), strings.Repeat("[", 5_000),
		`{"a":` + strings.Repeat(`{"a":`, 100)}
	twice := map[int]bool{13: true, 14: true, 15: true, 16: true, 17: true, 18: true}
	typed := strings.Join(lines, "\n") + "\n" + `{"symptom":"short","thrown":{"W1":"x","w1":"x"}}` + "\n" +
		`{"symptom":"short"}` + "\n" + strings.Join(lines, "\n") + "\n" + `{"quit":true}`
	var out, errs bytes.Buffer
	require.Equal(t, exitOK, run([]string{"hunt", "--json", "demo"}, strings.NewReader(typed), &out, &errs),
		errs.String())
	said := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	require.Len(t, said, 2*len(lines)+3)
	for i, line := range said {
		var m map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &m), "%q", line)
		require.NotEmpty(t, m["type"])
		n := i
		if i > len(lines) {
			n = i - len(lines) - 2
		}
		if i != len(lines) && i != len(lines)+1 && twice[n] {
			assert.Equal(t, "error", m["type"], lines[n])
			assert.Contains(t, m["message"], "twice", lines[n])
		}
	}
}

// TestNeverSavedWhenItIsNot takes the folder away in the middle of a hunt and of
// a drill: it is said, nothing is called saved, both live, and what is said
// names no temporary file.
func TestNeverSavedWhenItIsNot(t *testing.T) {
	dir := home(t)
	in := filepath.Join(dir, "in")
	gone := func() {
		require.NoError(t, os.RemoveAll(in))
		require.NoError(t, os.WriteFile(in, nil, 0o600)) // a file where the folder was
	}
	for _, c := range []struct {
		args  []string
		lines []string
	}{
		{[]string{"hunt", "--json", "--save", filepath.Join(in, "x.json"), "demo"},
			[]string{`{"symptom":"short"}`, `{"reading":"bright"}`, `{"quit":true}`}},
		{[]string{"hunt", "--plain", "--save", filepath.Join(in, "x.json"), "demo"}, []string{"1", "bright", "quit"}},
		{[]string{"drill", "--plain", "--lesson", "1", "--save", filepath.Join(in, "d.json"), "--records",
			filepath.Join(in, "r.json")}, []string{"train off", "log", "give up"}},
	} {
		require.NoError(t, os.RemoveAll(in))
		require.NoError(t, os.Mkdir(in, 0o700))
		var out, errs bytes.Buffer
		code := run(c.args, &paced{lines: c.lines, before: map[int]func(){1: gone}}, &out, &errs)
		all := out.String() + errs.String()
		assert.NotContains(t, all, "is saved in", "%v", c.args)
		assert.NotContains(t, all, "It is kept in", "%v", c.args)
		assert.NotContains(t, all, leftover, "%v", c.args)
		assert.Regexp(t, "could not save|is not on record|not saved", all)
		assert.Contains(t, []int{exitOK, exitBad}, code)
	}
}

// paced is someone who types a line at a time, and does things in between.
type paced struct {
	lines  []string
	before map[int]func()
	n      int
}

// Read gives the next line.
func (p *paced) Read(b []byte) (int, error) {
	if do := p.before[p.n]; do != nil {
		do()
	}
	if p.n >= len(p.lines) {
		return 0, os.ErrClosed
	}
	p.n++
	return copy(b, p.lines[p.n-1]+"\n"), nil
}
