package main

import (
	"regexp"
	"sort"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/layoutfile/shape"
)

// manual is help.txt taken apart: the one place where commands and flags are
// described. The man page and the shells' completion are made from it.
type manual struct {
	title string
	forms []form
	rest  []string // the paragraphs behind the commands
}

// form is one way to write a command.
type form struct {
	command string // "records"; empty for the screens
	words   []string
	about   string
	flags   []flagHelp
}

// flagHelp is one flag of a form.
type flagHelp struct {
	names []string // "--light", "--dark"; "-o"
	arg   string   // "FILE", empty for a switch
	about string
}

var (
	formLine    = regexp.MustCompile(`^  (fishplate(?: [^ ]+)*)(?:  +(.*))?$`)
	flagLine    = regexp.MustCompile(`^    (--?[a-z].*?)(?:   *([^ ].*))?$`)
	moreLine    = regexp.MustCompile(`^ {20,}(.*)$`)
	commandWord = regexp.MustCompile(`^[a-z]+$`)
	flagWord    = regexp.MustCompile(`^\[?(--?[a-z][a-z-]*)\]?$`)
)

// readManual takes help text apart.
func readManual(text string) *manual {
	m := &manual{}
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	m.title = lines[0]
	i := 2
	var about *string // what a line that goes on belongs to
	for ; i < len(lines) && lines[i] != ""; i++ {
		if x := formLine.FindStringSubmatch(lines[i]); x != nil {
			m.forms = append(m.forms, newForm(x[1], x[2]))
			about = &m.forms[len(m.forms)-1].about
			continue
		}
		f := &m.forms[len(m.forms)-1]
		if x := moreLine.FindStringSubmatch(lines[i]); x != nil {
			*about = strings.TrimSpace(*about + " " + x[1])
		} else if x := flagLine.FindStringSubmatch(lines[i]); x != nil {
			f.flags = append(f.flags, newFlag(x[1], x[2]))
			about = &f.flags[len(f.flags)-1].about
		}
	}
	if i < len(lines) {
		m.rest = lines[i+1:]
	}
	return m
}

func newForm(line, about string) form {
	f := form{words: strings.Fields(line)[1:], about: about}
	if len(f.words) > 0 && commandWord.MatchString(f.words[0]) {
		f.command = f.words[0]
	}
	for k, w := range f.words { // flags that are part of the form
		x := flagWord.FindStringSubmatch(w)
		if x == nil && strings.HasPrefix(w, "[--") {
			x = []string{w, strings.Trim(w, "[]")}
		}
		if x == nil || f.command == "" {
			continue
		}
		one := flagHelp{names: []string{x[1]}}
		if k+1 < len(f.words) && !strings.HasSuffix(w, "]") && isArg(f.words[k+1]) && f.words[k+1] != "LAYOUT" {
			one.arg = strings.Trim(f.words[k+1], "[]")
		}
		f.flags = append(f.flags, one)
	}
	return f
}

// isArg says whether a word stands for something that the user fills in.
func isArg(w string) bool {
	w = strings.Trim(w, "[]")
	return w != "" && w == strings.ToUpper(w) && w[0] >= 'A' && w[0] <= 'Z'
}

func newFlag(left, about string) flagHelp {
	f := flagHelp{about: about}
	for _, w := range strings.Fields(strings.ReplaceAll(left, ",", " ")) {
		if strings.HasPrefix(w, "-") {
			f.names = append(f.names, w)
		} else {
			f.arg = w
		}
	}
	return f
}

// names are the commands, in the order of the help; about is the first form's.
func (m *manual) names() (out []string, about map[string]string) {
	about = map[string]string{}
	for i := range m.forms {
		f := &m.forms[i]
		if f.command != "" && about[f.command] == "" {
			out = append(out, f.command)
			about[f.command] = f.about
		}
	}
	return out, about
}

// flagsOf gives the flags of a command, all forms together, each once.
func (m *manual) flagsOf(command string) []flagHelp {
	var out []flagHelp
	at := map[string]int{}
	for i := range m.forms {
		if m.forms[i].command != command {
			continue
		}
		for _, f := range m.forms[i].flags {
			for _, name := range f.names {
				one := flagHelp{names: []string{name}, arg: f.arg, about: f.about}
				if k, have := at[name]; !have {
					at[name] = len(out)
					out = append(out, one)
				} else if out[k].about == "" {
					out[k].about = f.about
				}
			}
		}
	}
	return out
}

// values are the words that an argument can be, nil where it can be anything.
func values(command, arg string) []string {
	switch command + " " + arg {
	case "drill KIND":
		return drill.Kinds
	case "drill NAME":
		return nil
	case "card KIND":
		return []string{"short", "weak", "dead"}
	case "card FORM":
		return []string{"text", "md", "html"}
	}
	switch arg {
	case "LIST":
		return hasWords
	case "NAME":
		return presetNames()
	case "KIND":
		return []string{"short", "short-train", "weak", "dead"}
	case "HOW":
		return drill.Difficulties
	case "LEVEL":
		return coachLevels()
	case "SHAPE":
		return shapeNames()
	case "FORM":
		return []string{"md", "html"}
	case "FIELD=TEXT":
		var out []string
		for _, f := range fieldNames {
			out = append(out, f+"=")
		}
		return out
	case "SHELL":
		return shells()
	}
	return nil
}

func coachLevels() []string {
	var out []string
	for _, l := range coach.Levels {
		out = append(out, string(l))
	}
	return out
}

func shapeNames() []string {
	var out []string
	for _, s := range shape.All() {
		out = append(out, s.Name)
	}
	return out
}

func shells() []string {
	var out []string
	for s := range completions {
		out = append(out, s)
	}
	sort.Strings(out)
	return out
}
