package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"fishplate/diagnose/drill/handout"
	pages "fishplate/diagnose/page"
)

// onPaper writes a drill as two sheets: one for pupils, and the teacher's key.
func (w drilling) onPaper(a *drillArgs) int {
	if a.lesson != "" || a.resume {
		return w.usage("--paper takes a layout, not a lesson or a drill that was left",
			"fishplate drill demo --paper evening.html")
	}
	form, err := formOf("", a.paper, "text")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(a.name)
	if err != nil {
		return w.refused(err)
	}
	d, err := a.forClass(src.layout)
	if err != nil {
		return w.fail(err)
	}
	again := a.again("drill")
	s, err := handout.Make(d, handout.Facts{Number: a.class,
		Again: again + " (large, before a class: quiz instead of drill)", Map: plainMap(src.layout)})
	if err != nil {
		return w.fail(err)
	}
	key := keyPath(a.paper)
	for _, x := range []struct {
		path string
		page *pages.Page
	}{{a.paper, s.Pupil}, {key, s.Teacher}} {
		text, err := w.sheet(x.page, form, true)
		if err == nil {
			err = writeShown(text, form, x.path)
		}
		if err != nil {
			return w.fail(err)
		}
	}
	return w.print(fmt.Sprintf("%s is for pupils; %s is the teacher's key: keep it from them.\nThe same fault again: "+
		"%s\n", a.paper, key, again))
}

// keyPath is where the key goes: beside the sheet.
func keyPath(sheet string) string {
	end := filepath.Ext(sheet)
	return strings.TrimSuffix(sheet, end) + "-key" + end
}
