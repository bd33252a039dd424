package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/layoutfile"
)

// The report of every layout fits the width that it is made for, and says the
// same at all widths.
func TestCheckTextFits(t *testing.T) {
	files, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		f, problems := layoutfile.Read(name, text)
		require.False(t, problems.Errors(), name)
		r, err := check.Run(f.Layout, check.Options{TrainAmps: 9}) // enough for findings about volts
		require.NoError(t, err)
		whole := strings.Fields(checkText(r, 80, 0))
		for _, width := range []int{40, 57, 80} {
			said := checkText(r, width, 0)
			require.Equal(t, whole, strings.Fields(said), "%s at %d", name, width)
			for line := range strings.Lines(said) {
				require.LessOrEqual(t, ansi.StringWidth(strings.TrimRight(line, "\n")), width, "%s at %d: %q", name,
					width, line)
				require.NotContains(t, line, "\u00a0")
			}
		}
	}
}

func TestTrainAmps(t *testing.T) {
	for text, want := range map[string]float64{"5": 5, "2.5": 2.5, "2,5": 2.5, "3 A": 3, " 3A ": 3, "30": 30} {
		got, err := trainAmps(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"0", "-1", "31", "NaN", "Inf", "A", "five", "1e", "2.5.1"} {
		_, err := trainAmps(text)
		require.ErrorContains(t, err, "--train-amps", text)
	}
}
