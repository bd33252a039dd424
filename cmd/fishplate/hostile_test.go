//go:build !windows

package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/outside"
)

// hostile is a file that somebody may send, and what the program says to it.
// Files are made here, small generators in place of large files.
type hostile struct {
	name string
	text func() string
	want string // in what is said
}

func fixed(s string) func() string { return func() string { return s } }

func many(head, one string, n int, tail string) func() string {
	return func() string { return head + strings.Repeat(one, n) + tail }
}

// hostileHCL are files in the language of layouts, lessons and settings.
func hostileHCL() []hostile {
	return []hostile{
		{"brackets", many("a = ", "[", 1_000_000, ""), "nested"},
		{"braces", many("", "a {\n", 240_000, ""), "nested"},
		{"templates", many(`a = "`, "${", 500_000, ""), "nested"},
		{"parentheses", many("a = ", "(", 1_000_000, ""), "nested"},
		{"signs", many("a = ", "!", 1_000_000, "true"), "more in it"},
		{"choices", many("a = ", "a?b:", 250_000, "c"), "more in it"},
		{"dots", many("a = b", ".c", 500_000, ""), "more in it"},
		{"numbers", many("a = [", "1,", 500_000, "]"), "more in it"},
		{"texts", many("a = [", `"",`, 340_000, "]"), "more in it"},
		{"names", many("", "a = 1\n", 170_000, ""), "more in it"},
		{"comments", many("", "/* */", 200_000, ""), "more in it"},
		{"digits", many("a = ", "9", 1_000_000, ""), "more than 200"},
		{"powers", many("a = [", "1e9999999,", 2_000, "]"), "power of ten"},
		{"line", many(`a = "`, "x", 1_000_000, `"`), "a text of more than"},
		{"lines", many("a = <<E\n", "x\n", 500_000, ""), "a text of more than"},
		{"letters that look like brackets", many("a = ", `["}",`, 19_000, "\n"), "nested"},
		{"texts over lines", many("a = ", "\"\n\""+strings.Repeat("[", 3_900)+"\n", 200, ""), "no closing quote"},
		{"worked out", many(`a = "${`, "(", 3_900, "\n"), "nested"},
		{"worked out, lines", many("a = \"${b}\"\nc = <<E\n", "x\n", 500_000, ""), "worked out"},
		{"worked out, comments", many("a = \"${b}\"\n", "/*", 500_000, ""), "worked out"},
		{"worked out, powers", many("a = [\"${b}\",", "1e9999999,", 2_000, "]"), "power of ten"},
		{"zeros", fixed("a = \"\x00\x00\""), ""},
		{"bytes", fixed("\xff\xfe\xfd{[(\xc0\xaf"), ""},
	}
}

// hostileJSON are records, meters and the like.
func hostileJSON() []hostile {
	return []hostile{
		{"brackets", many(`{"fishplate_record":1,"hunt":`, "[", 1_000_000, ""), "nested"},
		{"objects", many(`{"fishplate_record":1,"a":`, `{"a":`, 1_000_000, ""), "nested"},
		{"numbers", many(`{"fishplate_record":1,"hunt":[`, "1,", 1_000_000, "1]}"), "more in it"},
		{"digits", many(`{"fishplate_record":`, "9", 1_000_000, "}"), "more than 200"},
		{"text", many(`{"fishplate_record":1,"name":"`, "x", 3_000_000, `"}`), "a text of more than"},
		{"nothing", fixed(""), ""},
		{"null", fixed("null"), ""},
		{"bytes", fixed("\xff\xfe\x00{"), ""},
	}
}

// TestHostileFiles gives every reader of the program files that want to stall
// it, fill the memory or end it: each is answered in words, with exit status 1,
// within processor time and memory.
func TestHostileFiles(t *testing.T) {
	dir := t.TempDir()
	layout := filepath.Join("..", "..", "testdata", "layouts", "loop.hcl")
	hcl, records := hostileHCL(), hostileJSON()
	var worst time.Duration
	var most int64
	try := func(kind string, h hostile, file string, args ...string) {
		path := filepath.Join(dir, file)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(h.text()), 0o600))
		said, took, memory := within(t, dir, append(args, path)...)
		require.NoError(t, os.Remove(path))
		assert.Contains(t, said, h.want, "%s %s", kind, h.name)
		assert.NotContains(t, said, "goroutine", "%s %s", kind, h.name)
		assert.Less(t, len(said), 20_000, "%s %s is told at length", kind, h.name)
		worst, most = max(worst, took), max(most, memory)
	}
	for _, h := range hcl {
		try("layout", h, h.name+".hcl", "check")
		try("lesson", hostile{h.name, lessonSize(h.text), ""}, h.name+".lesson.hcl", "drill", "--plain", "--lesson")
	}
	for _, h := range records {
		try("record", h, h.name+".json", "records", layout)
		try("meter", hostile{h.name, h.text, ""}, h.name+".json", "hunt", "--plain", layout, "--meter")
		try("drill", hostile{h.name, h.text, ""}, h.name+".json", "drill", "--plain", "--resume", layout, "--save")
		if h.text() != "" { // no records yet
			try("drill records", hostile{h.name, h.text, ""}, h.name+".json", "drill", "--progress", "--records")
		}
	}
	t.Logf("at most %v of processor time and %d MB", worst, most>>20)
	assert.Less(t, worst, 600*time.Millisecond, "processor time; 300 ms on a machine with nothing else to do")
	assert.Less(t, most, int64(100<<20), "memory")
}

// lessonSize keeps a text within what a lesson may have in bytes, so that more
// than its size is looked at.
func lessonSize(text func() string) func() string {
	return func() string {
		s := text()
		return s[:min(len(s), 200_000)]
	}
}

// within runs the program, which must end with status 1 or 2, and gives what it
// said on stderr, its processor time and its memory.
func within(t *testing.T, dir string, args ...string) (said string, took time.Duration, memory int64) {
	t.Helper()
	tell, told, err := os.Pipe()
	require.NoError(t, err)
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Args = append([]string{"measured", program(t)}, args...)
	cmd.Env = []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + dir, "PATH=" + os.Getenv("PATH")}
	cmd.ExtraFiles = []*os.File{told}
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	require.NoError(t, cmd.Run(), errs.String())
	require.NoError(t, told.Close())
	var use usage
	require.NoError(t, json.NewDecoder(tell).Decode(&use))
	require.Contains(t, []int{exitBad, exitUsage}, use.Exit, "%v: %s%s", args, out.String(), errs.String())
	return errs.String(), use.Took, use.Memory
}

// usage is what a program took: processor time, and the most memory, bytes.
type usage struct {
	Exit   int
	Took   time.Duration
	Memory int64
}

// A program is first the process that starts it, and on Linux what that one held
// counts as the program's own most (getrusage(2), RUSAGE_CHILDREN, after execve).
// So a small process starts it, and not the tests with all that they hold.
func init() {
	measured = func() {
		c := exec.Command(os.Args[1], os.Args[2:]...)
		c.Stdout, c.Stderr = os.Stdout, os.Stderr
		_ = c.Run() // how it ended is told
		use := c.ProcessState.SysUsage().(*syscall.Rusage)
		unit := int64(1 << 10) // kilobytes on Linux
		if runtime.GOOS == "darwin" {
			unit = 1
		}
		u := usage{c.ProcessState.ExitCode(), c.ProcessState.UserTime() + c.ProcessState.SystemTime(),
			int64(use.Maxrss) * unit}
		if err := json.NewEncoder(os.NewFile(3, "told")).Encode(u); err != nil {
			panic(err)
		}
	}
}

// A settings file of brackets stalls no command: it is told, and the command
// goes on.
func TestHostileSettings(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "fishplate"), 0o755))
	for _, h := range hostileHCL() {
		text := h.text()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "fishplate", "config.hcl"), []byte(text), 0o600))
		cmd := exec.Command(program(t), "config")
		cmd.Env = []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + dir}
		var errs bytes.Buffer
		cmd.Stderr = &errs
		_ = cmd.Run() // it ends with 1
		assert.Equal(t, exitBad, cmd.ProcessState.ExitCode(), h.name)
		assert.Contains(t, errs.String(), "config.hcl", h.name)
		assert.Less(t, cmd.ProcessState.UserTime(), 600*time.Millisecond, h.name)
	}
}

// A file that is too large is named with its true size, and is not read.
func TestTrueSize(t *testing.T) {
	path := filepath.Join(t.TempDir(), "large.hcl")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(100<<20))
	require.NoError(t, f.Close())
	said, _, memory := within(t, t.TempDir(), "check", path)
	assert.Contains(t, said, "104857600 bytes")
	assert.Less(t, memory, int64(60<<20))
}

// TestPipesThatNobodyFills puts a pipe in the place of every file that is read: none
// is waited for, and what is written into one is read.
func TestPipesThatNobodyFills(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	require.NoError(t, os.Mkdir("fishplate", 0o755))
	require.Equal(t, exitOK, run([]string{"format", "demo"}, strings.NewReader(""), create(t, "a.hcl"), os.Stderr))
	for name, args := range map[string][]string{
		"b.hcl":                 {"check", "b.hcl"},
		"a.hcl.build.json":      {"build", "--plain", "a.hcl"},
		"a.hcl.health.json":     {"health", "--show", "--plain", "a.hcl"},
		"fishplate/config.hcl":  {"config"},
		"drills.json":           {"drill", "--progress", "--records", "drills.json"},
		"meter.json":            {"hunt", "--plain", "--meter", "meter.json", "a.hcl"},
		"counts.json":           {"odds", "a.hcl", "counts.json"},
		"drill.json":            {"drill", "--plain", "--resume", "--save", "drill.json", "a.hcl"},
		"x.lesson.hcl":          {"drill", "--plain", "--lesson", "x.lesson.hcl"},
		"hunt.json":             {"hunt", "--json", "--resume", "--save", "hunt.json", "a.hcl"},
		"a.hcl.hunts/2026.json": {"records", "a.hcl", "2026"},
	} {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, syscall.Mkfifo(name, 0o600))
		var errs bytes.Buffer
		code := make(chan int, 1)
		go func() { code <- run(args, strings.NewReader(""), io.Discard, &errs) }()
		select {
		case got := <-code:
			assert.Contains(t, []int{exitBad, exitUsage}, got, "%s: %s", name, errs.String())
		case <-time.After(time.Minute):
			require.Fail(t, "it waits", name)
		}
		require.NoError(t, os.Remove(name))
	}
	text, err := os.ReadFile("a.hcl")
	require.NoError(t, err)
	require.NoError(t, syscall.Mkfifo("b.hcl", 0o600))
	wrote := make(chan error, 1)
	go func() { wrote <- os.WriteFile("b.hcl", text, 0o600) }()
	time.Sleep(50 * time.Millisecond) // it is open, or waits for who reads
	got, err := readOutside("b.hcl", outside.Layout)
	require.NoError(t, err)
	require.NoError(t, <-wrote)
	require.Equal(t, text, got)
}

func create(t *testing.T, name string) *os.File {
	t.Helper()
	f, err := os.Create(name)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// TestFolderOfAStranger lists a folder with 10,000 layouts, pipes, devices, links in a
// ring, a file of 2 GB and a name that would steer the terminal.
func TestFolderOfAStranger(t *testing.T) {
	t.Chdir(t.TempDir())
	for i := range 10_000 {
		require.NoError(t, os.WriteFile(strconv.Itoa(i)+".hcl", []byte("run \"main\" {\n"), 0o600))
	}
	later := time.Now().Add(time.Hour)
	require.NoError(t, syscall.Mkfifo("pipe.hcl", 0o600))
	require.NoError(t, os.Symlink("ring2.hcl", "ring.hcl"))
	require.NoError(t, os.Symlink("ring.hcl", "ring2.hcl"))
	require.NoError(t, os.Symlink("/dev/zero", "zero.hcl"))
	require.NoError(t, os.Mkdir("folder.hcl", 0o755))
	require.NoError(t, create(t, "large.hcl").Truncate(2<<30))
	steers := "a\x1b]52;c;eA==\x07\u202e.hcl"
	require.NoError(t, os.WriteFile(steers, []byte("run \"main\" {\n"), 0o600))
	for _, name := range []string{"large.hcl", steers} {
		require.NoError(t, os.Chtimes(name, later, later))
	}
	var before, after syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &before))
	s := &stay{look: &look{}}
	o, ok := s.choosing(screenArgs{})
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &after))
	require.True(t, ok)
	rows := o.Layouts.Rows
	assert.LessOrEqual(t, len(rows), mostListed+2)
	assert.Equal(t, 10_002, o.Layouts.More+len(rows)-2+1, "the large one is no layout")
	assert.Equal(t, outside.Line(steers), rows[0].Name)
	assert.NotContains(t, rows[0].Name, "\x1b")
	took := time.Duration(after.Utime.Nano() + after.Stime.Nano() - before.Utime.Nano() - before.Stime.Nano())
	assert.Less(t, took, 600*time.Millisecond, "processor time; 300 ms on a machine with nothing else to do")
}

// lies are changes to a record that no hunt can have written, each with a word
// of what is said of it.
var lies = map[string]struct {
	change func(record, journal, ask map[string]any)
	want   string
}{
	"null event": {func(r, e, a map[string]any) { e["event"] = nil }, "says nothing"},
	"two things": {func(r, e, a map[string]any) {
		e["event"] = map[string]any{"reading": "1 mV", "skip": "x"}
	}, "2 things"},
	"change 99": {func(r, e, a map[string]any) {
		e["event"] = map[string]any{"change": map[string]any{"n": 99, "reading": "1 mV"}}
	}, "changes reading 99"},
	"negative load": {func(r, e, a map[string]any) {
		a["setup"].(map[string]any)["loads"] = []any{map[string]any{"from": "T1 hot", "to": "F1 hot", "ohms": -18}}
	}, "-18 ohm"},
	"long minutes": {func(r, e, a map[string]any) { a["minutes"] = 1e308 }, "minutes"},
	"many loads": {func(r, e, a map[string]any) {
		a["setup"].(map[string]any)["loads"] = make([]map[string]any, 20_000)
	}, "20000 loads"},
	"lamp": {func(r, e, a map[string]any) {
		r["hunt"].(map[string]any)["kit"].(map[string]any)["LampAmps"] = 1e300
	}, "lamp"},
	"learned": {func(r, e, a map[string]any) {
		r["outcome"].(map[string]any)["track"] = map[string]any{"rail": 1e300}
	}, "learned"},
	"learned in kit": {func(r, e, a map[string]any) {
		r["hunt"].(map[string]any)["kit"].(map[string]any)["Track"] = map[string]any{"rail_sd": -1}
	}, "learned"},
	"outcome":         {func(r, e, a map[string]any) { r["outcome"].(map[string]any)["minutes"] = 1e308 }, "cannot be"},
	"no such reading": {func(r, e, a map[string]any) { e["event"] = map[string]any{"reading": "nonsense"} }, ""},
}

// TestLies tells the truth first: the record as it was written is taken.
func TestLies(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	path := filepath.Join(dir, "hunt.json")
	resumed := func() (int, string) {
		var out, errs bytes.Buffer
		code := run([]string{"hunt", "--json", "--resume", "--save", path, "demo"},
			strings.NewReader(`{"quit":true}`+"\n"), &out, &errs)
		return code, errs.String()
	}
	var out, errs bytes.Buffer
	typed := `{"symptom":"short"}` + "\n" + `{"reading":"bright"}` + "\n" + `{"quit":true}` + "\n"
	require.Equal(t, exitOK, run([]string{"hunt", "--json", "--save", path, "demo"}, strings.NewReader(typed), &out,
		&errs), errs.String())
	truth, err := os.ReadFile(path)
	require.NoError(t, err)
	code, said := resumed()
	require.Equal(t, exitOK, code, said)
	for name, lie := range lies {
		var r map[string]any
		require.NoError(t, json.Unmarshal(truth, &r))
		for _, e := range r["hunt"].(map[string]any)["journal"].([]any) {
			if ask, ok := e.(map[string]any)["ask"].(map[string]any); ok {
				lie.change(r, e.(map[string]any), ask)
			}
		}
		data, err := json.Marshal(r)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, data, 0o600))
		code, said := resumed()
		assert.Equal(t, exitBad, code, name)
		assert.Contains(t, said, lie.want, name)
	}
}
