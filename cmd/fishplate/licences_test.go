//go:build !windows

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// signs are words that stand in the text of each licence and in no other of
// these.
var signs = map[string]string{
	"MPL-2.0":      "Mozilla Public License, version 2.0",
	"Apache-2.0":   "Apache License",
	"BSD-3-Clause": "Neither the name",
	"MIT":          "Permission is hereby granted, free of charge, to any person obtaining a copy",
	"Unicode":      "Unicode, Inc",
}

// Every module that is built in on any of the systems has its licence in the
// table, and the licence file that lies in the module says the same.
func TestLicences(t *testing.T) {
	built := map[string]string{} // module to its folder
	for _, system := range []string{"linux", "darwin", "windows"} {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}\t{{.Dir}}{{end}}", ".")
		cmd.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := cmd.Output()
		require.NoError(t, err)
		for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
			if path, dir, ok := strings.Cut(line, "\t"); ok && path != "fishplate" {
				built[path] = dir
			}
		}
	}
	require.NotEmpty(t, built)
	assert.Len(t, licences, len(built), "the table has modules that are built in nowhere")
	for path, dir := range built {
		names := licenceOf(path)
		var text []byte
		for _, name := range []string{"LICENSE", "LICENSE.txt", "LICENSE.md", "COPYING"} {
			if data, err := os.ReadFile(filepath.Join(dir, name)); err == nil {
				text = append(text, data...)
			}
		}
		if len(text) == 0 { // some have a word in their README alone
			readme, err := os.ReadFile(filepath.Join(dir, "README.md"))
			require.NoError(t, err, path)
			_, after, _ := strings.Cut(string(readme), "## License")
			assert.Contains(t, strings.Fields(after), names, path)
			continue
		}
		words := strings.Join(strings.Fields(string(text)), " ")
		for _, name := range strings.Split(names, ", ") {
			if assert.NotEmpty(t, signs[name], "%s: %s", path, names) {
				assert.Contains(t, words, signs[name], "%s is not under %s", path, name)
			}
		}
		for name, sign := range signs {
			if name != "Unicode" && !strings.Contains(names, name) {
				assert.NotContains(t, words, sign, "%s is under %s too", path, name)
			}
		}
	}
}

// The program lists what it is made of, and where the source is of what asks
// for that.
func TestLicencesAreShown(t *testing.T) {
	out := exec.Command(program(t), "licenses")
	text, err := out.Output()
	require.NoError(t, err)
	assert.Contains(t, string(text), "github.com/hashicorp/hcl, tag v2.")
	assert.NotContains(t, string(text), "not known")
}
