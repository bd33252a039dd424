package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Equal(t, exitOK, run(args, strings.NewReader(""), &out, &errs), errs.String())
	return out.String()
}

// flagsInCode finds every flag that the source defines, by the calls on flag
// sets: the second source, beside the help text, of what can be typed.
func flagsInCode(t *testing.T) []string {
	call := regexp.MustCompile(`\b(?:fs|fl|flags)\.(?:Bool|String|Int|Float64|Duration|Uint|Func)?(?:Var)?\((?:[^,"()]+, )?"([a-z-]+)"`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var out []string
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		for _, x := range call.FindAllStringSubmatch(string(text), -1) {
			out = append(out, x[1])
		}
	}
	require.Greater(t, len(out), 20)
	return out
}

// Whatever can be typed is in the help, in the man page and in the completion
// of every shell.
func TestEverythingIsDocumented(t *testing.T) {
	m := readManual(helpText)
	names, about := m.names()
	page := strings.ReplaceAll(manPage(m), `\-`, "-")
	for name := range commands {
		if name != "version" { // said as --version
			assert.Contains(t, names, name, "help.txt lacks the command %s", name)
		}
	}
	for _, name := range names {
		assert.NotNil(t, commands[name], "help.txt has a command %q that does not exist", name)
		assert.Contains(t, page, "fishplate "+name)
		if name != "help" {
			assert.NotEmpty(t, about[name], "nothing says what %s does", name)
		}
	}
	inHelp := map[string]bool{"help": true}
	for _, c := range append(names, "") {
		for _, f := range m.flagsOf(c) {
			inHelp[strings.TrimLeft(f.names[0], "-")] = true
			assert.Contains(t, page, f.names[0], "man page, %s", c)
			for shell, make := range completions {
				assert.Contains(t, make(m), strings.TrimLeft(f.names[0], "-"), "%s, %s", shell, c)
			}
		}
	}
	for _, f := range flagsInCode(t) {
		assert.True(t, inHelp[f], "help.txt lacks the flag --%s", f)
	}
	for _, s := range settings() {
		assert.Contains(t, page, `\fB`+s.key+`\fR`, "man page, setting")
		if s.flag != "" {
			assert.True(t, inHelp[s.flag], "the setting %s names a flag --%s that is not there", s.key, s.flag)
		}
	}
	for code := 0; code <= 2; code++ {
		assert.Contains(t, page, fmt.Sprintf(`\fB%d\fR`, code))
	}
}

// Every flag that the help names is one that its command takes.
func TestHelpNamesNoFlagThatIsNotThere(t *testing.T) {
	m := readManual(helpText)
	names, _ := m.names()
	for _, c := range append(names, "") {
		for _, f := range m.flagsOf(c) {
			args := []string{f.names[0]}
			if c != "" {
				args = []string{c, f.names[0]}
			}
			if f.arg != "" {
				args = append(args, "x")
			}
			if c == "" && (f.names[0] == "--version" || f.names[0] == "--help") {
				continue
			}
			var out, errs bytes.Buffer
			run(append(args, "no/such/layout.hcl", "one", "two", "three", "four"), strings.NewReader(""), &out, &errs)
			assert.NotContains(t, errs.String(), "provided but not defined", "%v", args)
		}
	}
}

// What two independent formatters think of the man page, where they are
// installed: no warning, and the words come out.
func TestManPageIsWellFormed(t *testing.T) {
	page := filepath.Join(t.TempDir(), "fishplate.1")
	require.NoError(t, os.WriteFile(page, []byte(printed(t, "man")), 0o644))
	tried := false
	if _, err := exec.LookPath("mandoc"); err == nil {
		tried = true
		out, err := exec.Command("mandoc", "-Tlint", "-Wwarning", page).CombinedOutput()
		for _, line := range strings.Split(string(out), "\n") {
			if line != "" && !strings.Contains(line, "missing date") { // a page made from the program has none
				t.Errorf("mandoc: %s (%v)", line, err)
			}
		}
	}
	if _, err := exec.LookPath("groff"); err == nil {
		tried = true
		cmd := exec.Command("groff", "-man", "-Tascii", "-ww", page)
		var errs bytes.Buffer
		cmd.Stderr = &errs
		out, err := cmd.Output()
		require.NoError(t, err)
		assert.Empty(t, errs.String())
		text := regexp.MustCompile("\x1b\\[[0-9;]*m|.\b").ReplaceAllString(string(out), "")
		assert.Contains(t, text, `{"change":{"n":2,"reading":"0.4"}}`, "what programs write comes out as it is written")
		assert.Contains(t, text, "--meters LIST")
	}
	if !tried {
		t.Skip("neither mandoc nor groff is installed")
	}
}

// inBash asks bash what it would offer for a command line; the last word is
// the one being typed.
func inBash(t *testing.T, dir string, words ...string) []string {
	script := printed(t, "completion", "bash") + "\n" + `
fishplate() { cat ids.txt; }
COMP_WORDS=("$@"); COMP_CWORD=$(( $# - 1 ))
_fishplate
printf '%s\n' "${COMPREPLY[@]}"
`
	cmd := exec.Command("bash", append([]string{"-c", script, "bash", "fishplate"}, words...)...)
	cmd.Dir = dir
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(t, err, errs.String())
	require.Empty(t, errs.String())
	return strings.Fields(string(out))
}

func completionDir(t *testing.T) string {
	dir := t.TempDir()
	for _, f := range []string{"shelf.hcl", "oval.hcl", "notes.txt"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f), nil, 0o644))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "ids.txt"), []byte("2026-05-01-2\n2026-05-01-1\n"), 0o644))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "attic"), 0o755))
	return dir
}

// The bash script is run by bash: commands, layouts, flags, their values.
func TestBashCompletion(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("bash is not installed")
	}
	dir := completionDir(t)
	assert.Subset(t, inBash(t, dir, ""), []string{"hunt", "records", "report", "config", "demo", "shelf.hcl", "oval.hcl", "attic"})
	assert.NotContains(t, inBash(t, dir, ""), "notes.txt")
	assert.Equal(t, []string{"records", "report"}, inBash(t, dir, "re"))
	assert.Equal(t, []string{"shelf.hcl"}, inBash(t, dir, "records", "sh"))
	assert.ElementsMatch(t, []string{"2026-05-01-2", "2026-05-01-1"}, inBash(t, dir, "records", "shelf.hcl", "2026"))
	assert.Subset(t, inBash(t, dir, "hunt", "--"), []string{"--plain", "--json", "--resume", "--save", "--meters"})
	assert.NotContains(t, inBash(t, dir, "report", "--"), "--plain")
	assert.Equal(t, []string{"--format"}, inBash(t, dir, "report", "shelf.hcl", "--f"))
	assert.Equal(t, []string{"md", "html"}, inBash(t, dir, "report", "shelf.hcl", "--format", ""))
	assert.Equal(t, []string{"html"}, inBash(t, dir, "report", "shelf.hcl", "--format", "=", "h"))
	assert.Equal(t, []string{"beeper,ohms"}, inBash(t, dir, "hunt", "--meters", "beeper,o"))
	assert.Equal(t, []string{"beeper,ohms"}, inBash(t, dir, "--meters", "beeper,o"))
	assert.Contains(t, inBash(t, dir, "report", "shelf.hcl", "-o", "n"), "notes.txt")
	assert.Equal(t, []string{"bash", "fish", "powershell", "zsh"}, inBash(t, dir, "completion", ""))
	assert.Equal(t, []string{"repair="}, inBash(t, dir, "records", "shelf.hcl", "1", "--set", "rep"))
	assert.Equal(t, []string{"demo"}, inBash(t, dir, "--ascii", "de"))
}

// fish completes a line without a terminal, so its script is run by it too.
func TestFishCompletion(t *testing.T) {
	if _, err := exec.LookPath("fish"); err != nil {
		t.Skip("fish is not installed")
	}
	dir := completionDir(t)
	in := func(line string) []string {
		cmd := exec.Command("fish", "--no-config", "-c", printed(t, "completion", "fish")+"\nfunction fishplate; cat ids.txt; end\ncomplete -C "+fishQuote(line))
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "HOME="+dir)
		var errs bytes.Buffer
		cmd.Stderr = &errs
		out, err := cmd.Output()
		require.NoError(t, err, errs.String())
		var words []string
		for _, l := range strings.Split(string(out), "\n") {
			if word, _, _ := strings.Cut(l, "\t"); word != "" {
				words = append(words, word)
			}
		}
		return words
	}
	assert.Subset(t, in("fishplate re"), []string{"records", "report"})
	assert.Contains(t, in("fishplate "), "demo")
	assert.Contains(t, in("fishplate records sh"), "shelf.hcl")
	assert.Contains(t, in("fishplate records shelf.hcl 2026"), "2026-05-01-2")
	assert.Contains(t, in("fishplate hunt --"), "--plain")
	assert.NotContains(t, in("fishplate report --"), "--plain")
	assert.ElementsMatch(t, []string{"md", "html"}, in("fishplate report --format "))
	assert.Contains(t, in("fishplate hunt --meters beeper,o"), "beeper,ohms")
}

// The scripts that are not run here at least parse, where their shell is
// installed.
func TestOtherShellsParse(t *testing.T) {
	for shell, args := range map[string][]string{"zsh": {"-n"}, "bash": {"-n"}, "fish": {"--no-execute"}} {
		if _, err := exec.LookPath(shell); err != nil {
			continue
		}
		file := filepath.Join(t.TempDir(), "script")
		require.NoError(t, os.WriteFile(file, []byte(printed(t, "completion", shell)), 0o644))
		out, err := exec.Command(shell, append(args, file)...).CombinedOutput()
		assert.NoError(t, err, "%s: %s", shell, out)
		assert.Empty(t, string(out), shell)
	}
}
