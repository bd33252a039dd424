package main

import (
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

func (w commands) versionCommand() *cobra.Command {
	return w.does(&cobra.Command{
		Use:     "version",
		Short:   "which version this is",
		Long:    "The same as --version.",
		Example: "fishplate version\nfishplate --version",
	}, w.version)
}

func (w *world) version(words []string) int {
	if len(words) > 0 {
		return w.usage("--version stands alone", "fishplate --version")
	}
	v, revision := "devel", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if info.Main.Version != "" && info.Main.Version != "(devel)" {
			v = info.Main.Version
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
				revision = " (" + s.Value[:12] + ")"
			}
		}
	}
	return w.print("fishplate " + v + revision + "\nWhat is built in, under which licences: fishplate licenses\n")
}
