package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/stage"
)

// together does work from several sides at once; each side has a number.
func together(t *testing.T, sides int, work func(side int) error) {
	t.Helper()
	var all sync.WaitGroup
	errs := make([]error, sides)
	for i := range sides {
		all.Go(func() { errs[i] = work(i) })
	}
	all.Wait()
	for i, err := range errs {
		require.NoError(t, err, "side %d", i)
	}
}

// copied puts a layout into a folder of the test's own.
func copied(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", name+".hcl"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), name+".hcl")
	require.NoError(t, os.WriteFile(path, text, 0o644))
	return path
}

// TestBoxesAtOnce takes pieces through the bench at several tables at the same
// time: every pass stands in the one layout file.
func TestBoxesAtOnce(t *testing.T) {
	home(t)
	path := copied(t, "loop")
	const tables = 8
	together(t, tables, func(i int) error {
		var out, errs bytes.Buffer
		piece := fmt.Sprintf("main %d", i+1)
		table := benching{newWorld(strings.NewReader("\n"), &out, &errs)} // a program runs one command only
		if code := table.testBox([]string{path, piece}, &pieceArgs{}); code != exitOK {
			return fmt.Errorf("%s: %s", piece, errs.String())
		}
		return nil
	})
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, tables, strings.Count(string(text), passed))
	assert.Len(t, beside(t, path), 1)
}

// beside lists what lies in the folder of a file.
func beside(t *testing.T, path string) []os.DirEntry {
	list, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	return list
}

// TestTicksAtOnce ticks readings of one layout off in several programs at the same
// time: none is lost.
func TestTicksAtOnce(t *testing.T) {
	path := copied(t, "loop")
	const helpers, each = 6, 10
	together(t, helpers, func(i int) error {
		kept, err := readTicks(path)
		if err != nil {
			return err
		}
		for k := range each {
			r := stage.Reading{Red: fmt.Sprintf("main %d", i), Black: fmt.Sprintf("main %d", k)}
			if err := kept.tick(path, "main 1", r.Key(), "beep"); err != nil {
				return err
			}
		}
		return nil
	})
	kept, err := readTicks(path)
	require.NoError(t, err)
	assert.Len(t, kept.Ticks, helpers*each)
	assert.Len(t, beside(t, path), 2)
}

// TestEveningsAtOnce keeps evenings of one layout from several programs at the same
// time, the first one too: none is lost. An evening of another check is not mixed in.
func TestEveningsAtOnce(t *testing.T) {
	home(t)
	path := copied(t, "loop")
	w := newWorld(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{})
	src, err := w.load(path)
	require.NoError(t, err)
	open := func(lamp float64) *evening {
		e := &evening{w: w, src: src}
		a := &healthArgs{kit: newKit()}
		a.kit.kit.LampAmps = lamp
		require.NoError(t, e.open(a))
		return e
	}
	const programs = 6
	first, other := open(1.75), open(3)
	evenings := make([]evening, programs)
	for i := range evenings { // as if each had opened it before the first was kept
		evenings[i] = *first
		book := *first.book
		evenings[i].book = &book
	}
	showed := make([]string, len(other.book.Plan.Readings))
	for i := range showed {
		showed[i] = "12.3"
	}
	together(t, programs, func(i int) error { return evenings[i].keep(showed) })
	require.ErrorContains(t, other.keep(showed), "new baseline meanwhile")
	kept, err := readHealth(healthOf(path))
	require.NoError(t, err)
	assert.Len(t, kept.Evenings, programs)
	assert.Len(t, beside(t, path), 2)
}

func healthOf(path string) string { return path + ".health.json" }
