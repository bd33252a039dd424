//go:build !windows

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"fishplate/diagnose/hunt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Equal(t, exitOK, run(args, strings.NewReader(""), &out, &errs), errs.String())
	return out.String()
}

// tree gives every command.
func tree() []*cobra.Command {
	root := commands{newWorld(nil, nil, nil)}.root()
	return append(root.Commands(), root)
}

// Every command says what it does, with two examples that its own parser
// takes, in about ten lines beside its flags; whatever can be typed is in the
// manual too.
func TestEverythingIsDocumented(t *testing.T) {
	page := strings.ReplaceAll(printed(t, "man"), `\-`, "-")
	for _, c := range tree() {
		assert.NotEmpty(t, c.Short, c.Name())
		assert.NotEmpty(t, c.Long, c.Name())
		assert.Contains(t, page, "fishplate")
		if c.HasParent() {
			assert.Contains(t, page, `\fBfishplate `+c.Name())
			assert.Contains(t, printed(t, "man", c.Name()), "EXAMPLES")
			assert.Equal(t, helpOf(c), printed(t, "help", c.Name()))
		}
		examples := strings.Split(c.Example, "\n")
		assert.Len(t, examples, 2, c.Name())
		for _, e := range examples {
			assert.Contains(t, e, "fishplate", c.Name())
		}
		flags := 0
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			flags++
			assert.NotEmpty(t, f.Usage, "%s --%s", c.Name(), f.Name)
			assert.Contains(t, page, "--"+f.Name, c.Name())
			if f.NoOptDefVal == "" && f.Value.Type() != "bool" {
				arg, _ := pflag.UnquoteUsage(f)
				assert.Equal(t, strings.ToUpper(arg), arg, "%s --%s names what stands behind it", c.Name(), f.Name)
			}
		})
		if c.HasParent() {
			assert.LessOrEqual(t, strings.Count(helpOf(c), "\n"), 10+2*flags, "the help of %s is long", c.Name())
		}
		for _, line := range strings.Split(helpOf(c), "\n") {
			assert.LessOrEqual(t, len(line), 104, line)
		}
	}
	inTree := map[string]bool{}
	for _, c := range tree() {
		c.Flags().VisitAll(func(f *pflag.Flag) { inTree[f.Name] = true })
	}
	for _, s := range settings() {
		assert.Contains(t, page, `\fB`+s.key+`\fR`, "man page, setting")
		if s.flag != "" {
			assert.True(t, inTree[s.flag], "the setting %s names a flag --%s that is not there", s.key, s.flag)
		}
	}
	for code := 0; code <= 2; code++ {
		assert.Contains(t, page, fmt.Sprintf(`\fB%d\fR`, code))
	}
}

// Every flag that an example of the help writes is one that its command takes.
func TestExamplesAreTaken(t *testing.T) {
	lines := 0
	for _, c := range tree() {
		for _, line := range strings.Split(c.Example, "\n") {
			lines++
			line = strings.NewReplacer("source <(", "", ")", "", `"main 12"`, "main_12", `"strip was torn"`, "torn",
				`"new strip"`, "new").Replace(line)
			line, _, _ = strings.Cut(line, " > ")
			line, _, _ = strings.Cut(line, " | ")
			words := strings.Fields(line)[1:]
			found, rest, err := c.Root().Find(words)
			require.NoError(t, err, line)
			if len(words) == 0 || !strings.HasPrefix(words[0], "-") {
				assert.Equal(t, c.Name(), found.Name(), line)
			}
			assert.NoError(t, found.ParseFlags(rest), line)
		}
	}
	require.Greater(t, lines, 20)
}

// What the hunt for programs writes, a program's author finds in the help: every
// field of every object.
func TestEveryFieldOfTheDoorIsInTheHelp(t *testing.T) {
	page := printed(t, "help", "json")
	var see func(x reflect.Type)
	seen := map[reflect.Type]bool{}
	see = func(x reflect.Type) {
		for x.Kind() == reflect.Pointer || x.Kind() == reflect.Slice {
			x = x.Elem()
		}
		if x.Kind() != reflect.Struct || seen[x] {
			return
		}
		seen[x] = true
		for i := range x.NumField() {
			if name, _, _ := strings.Cut(x.Field(i).Tag.Get("json"), ","); name != "" {
				assert.Regexp(t, `\b`+name+`\b`, page, x.Name())
				see(x.Field(i).Type)
			}
		}
	}
	for _, x := range []any{hunt.Ask{}, hunt.Inspect{}, hunt.Done{}, kitOut{}, jsonEvidence{}} {
		see(reflect.TypeOf(x))
	}
	for _, end := range []hunt.Ending{hunt.EndFound, hunt.EndProven, hunt.EndPutAside, hunt.EndOffTrack, hunt.EndMisfit,
		hunt.EndLooked} {
		assert.Contains(t, page, string(end))
	}
}

// The pages on topics name no command, flag or page that is not there.
func TestTopicsNameWhatIsThere(t *testing.T) {
	names := map[string]bool{}
	flags := map[string]bool{"help": true}
	for _, c := range tree() {
		names[c.Name()] = true
		c.Flags().VisitAll(func(f *pflag.Flag) { flags[f.Name] = true })
	}
	text := ""
	for _, topic := range topics() {
		names[topic.name] = true
		text += printed(t, "help", topic.name)
	}
	for _, c := range tree() {
		text += helpOf(c)
	}
	for _, named := range []struct {
		by   string
		are  map[string]bool
		many int
	}{{`fishplate\s+help\s+([a-z]+)`, names, 10}, {`--([a-z][a-z-]*)`, flags, 40}} {
		all := regexp.MustCompile(named.by).FindAllStringSubmatch(text, -1)
		require.Greater(t, len(all), named.many, named.by)
		for _, m := range all {
			assert.True(t, named.are[m[1]], m[0])
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
// the one being typed. bare: without the package bash-completion.
func inBash(t *testing.T, dir string, bare bool, words ...string) []string {
	script := printed(t, "completion", "bash") + "\n" + `
COMP_WORDS=("$@"); COMP_CWORD=$(( $# - 1 ))
COMP_LINE="${COMP_WORDS[*]}"; COMP_POINT=${#COMP_LINE}; COMP_TYPE=9
compopt() { :; }
__start_fishplate
printf '%s\n' "${COMPREPLY[@]}"
`
	const package_ = "/usr/share/bash-completion/bash_completion"
	if !bare {
		script = "source " + package_ + "\n" + script
	}
	cmd := exec.Command("bash", append([]string{"--norc", "-c", script, "bash", "fishplate"}, words...)...)
	cmd.Dir = dir
	cmd.Env = completionEnv(t, dir)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(t, err, errs.String())
	require.Empty(t, errs.String())
	return strings.Fields(strings.ReplaceAll(string(out), `\,`, ",")) // quoted for the shell
}

// completionEnv is an environment whose fishplate is the program just built.
func completionEnv(t *testing.T, dir string) []string {
	bin := filepath.Join(dir, ".bin")
	require.NoError(t, os.MkdirAll(bin, 0o755))
	if _, err := os.Lstat(filepath.Join(bin, "fishplate")); err != nil {
		require.NoError(t, os.Symlink(program(t), filepath.Join(bin, "fishplate")))
	}
	return []string{"PATH=" + bin + ":" + os.Getenv("PATH"), "HOME=" + dir, "XDG_CONFIG_HOME=" + dir, "LANG=C.UTF-8"}
}

func completionDir(t *testing.T) string {
	dir := t.TempDir()
	for _, f := range []string{"shelf.hcl", "oval.hcl", "notes.txt"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f), nil, 0o644))
	}
	hunts := filepath.Join(dir, "shelf.hcl.hunts")
	require.NoError(t, os.Mkdir(hunts, 0o755))
	for _, id := range []string{"2026-05-01-1", "2026-05-01-2"} {
		require.NoError(t, os.WriteFile(filepath.Join(hunts, id+".json"), []byte("{}"), 0o644))
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "attic"), 0o755))
	return dir
}

// What the script says is tried in bash itself, with the package
// bash-completion where it is installed and without it.
func TestBashCompletion(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("bash is not installed")
	}
	dir := completionDir(t)
	for _, bare := range []bool{true, false} {
		if _, err := os.Stat("/usr/share/bash-completion/bash_completion"); err != nil && !bare {
			continue
		}
		in := func(words ...string) []string { return inBash(t, dir, bare, words...) }
		assert.Subset(t, in(""), []string{"hunt", "records", "report", "config", "demo", "shelf.hcl", "oval.hcl",
			"attic/"})
		assert.NotContains(t, in(""), "notes.txt")
		assert.Equal(t, []string{"shelf.hcl"}, in("records", "sh"))
		assert.ElementsMatch(t, []string{"2026-05-01-2", "2026-05-01-1"}, in("records", "shelf.hcl", "2026"))
		assert.Subset(t, in("hunt", "--"), []string{"--plain", "--json", "--resume"})
		assert.NotContains(t, in("report", "--"), "--resume")
		assert.Equal(t, []string{"html"}, in("report", "shelf.hcl", "--format", "h"))
		assert.Equal(t, []string{"beeper,ohms"}, in("hunt", "--meters", "beeper,o"))
		assert.Equal(t, []string{"beeper,ohms"}, in("--meters", "beeper,o"))
		assert.Subset(t, in("completion", ""), []string{"bash", "fish", "powershell", "zsh"})
		assert.Equal(t, []string{"demo"}, in("--ascii", "de"))
	}
}

// What the program answers to the scripts of all shells.
func TestCompletionAnswers(t *testing.T) {
	t.Chdir(completionDir(t))
	in := func(words ...string) []string {
		var out []string
		for _, l := range strings.Split(printed(t, append([]string{"__complete"}, words...)...), "\n") {
			word, _, _ := strings.Cut(l, "\t")
			if word != "" && !strings.HasPrefix(word, ":") {
				out = append(out, word)
			}
		}
		return out
	}
	assert.Equal(t, []string{"md", "html"}, in("report", "shelf.hcl", "--format", ""))
	assert.Contains(t, in("records", "shelf.hcl", "1", "--set", ""), "repair=")
	assert.Subset(t, in("drill", "--lesson", ""), []string{"1", "10", "list", "format"})
	assert.Subset(t, in("walk", "--shape", ""), []string{"oval", "figure-eight"})
	assert.Subset(t, in("help", ""), []string{"json", "kit", "words", "hunt"})
	assert.Equal(t, []string{"2026-05-01-2", "2026-05-01-1"}, in("hunt", "shelf.hcl", "--record", ""))
	assert.Subset(t, in("drill", "--fault", ""), []string{"short", "sometimes"})
	assert.Subset(t, in("hunt", "--meter", ""), presetNames())
	assert.Subset(t, in("re"), []string{"records", "report"})
}

// fish completes a line without a terminal, so its script is run by it too.
func TestFishCompletion(t *testing.T) {
	if _, err := exec.LookPath("fish"); err != nil {
		t.Skip("fish is not installed")
	}
	dir := completionDir(t)
	in := func(line string) []string {
		cmd := exec.Command("fish", "--no-config", "-c", printed(t, "completion", "fish")+"\ncomplete -C '"+line+"'")
		cmd.Dir = dir
		cmd.Env = completionEnv(t, dir)
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
	assert.NotContains(t, in("fishplate report --"), "--resume")
	assert.ElementsMatch(t, []string{"md", "html"}, in("fishplate report --format "))
	assert.Contains(t, in("fishplate hunt --meters beeper,o"), "beeper,ohms")
}

// The scripts that are not run here at least parse, where their shell is
// installed.
func TestOtherShellsParse(t *testing.T) {
	for shell, args := range map[string][]string{"zsh": {"-n"}, "bash": {"-n"}, "fish": {"--no-execute"}} {
		t.Run(shell, func(t *testing.T) {
			if _, err := exec.LookPath(shell); err != nil {
				t.Skip(shell, " is not installed")
			}
			file := filepath.Join(t.TempDir(), "script")
			require.NoError(t, os.WriteFile(file, []byte(printed(t, "completion", shell)), 0o644))
			out, err := exec.Command(shell, append(args, file)...).CombinedOutput()
			assert.NoError(t, err, "%s: %s", shell, out)
			assert.Empty(t, string(out), shell)
		})
	}
}
