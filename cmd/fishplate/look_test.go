package main

import (
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/tui"
)

// TestLook: flags win over the environment; a line that may be slow gets fewer
// redraws.
func TestLook(t *testing.T) {
	for _, c := range []struct {
		args       []string
		env        map[string]string
		light      bool
		fps        int
		bell, wide bool
	}{
		{nil, nil, false, 120, false, false},
		{nil, map[string]string{"SSH_CONNECTION": "192.0.2.1 5 192.0.2.2 22"}, false, 30, false, false},
		{[]string{"--fps", "10"}, map[string]string{"SSH_TTY": "/dev/pts/1"}, false, 10, false, false},
		{nil, map[string]string{"COLORFGBG": "0;15"}, true, 120, false, false},
		{[]string{"--dark"}, map[string]string{"COLORFGBG": "0;15"}, false, 120, false, false},
		{[]string{"--light"}, map[string]string{"COLORFGBG": "15;0"}, true, 120, false, false},
		{nil, map[string]string{"FISHPLATE_BACKGROUND": "light"}, true, 120, false, false},
		{[]string{"--bell", "--big"}, nil, false, 120, true, true},
	} {
		fs := pflag.NewFlagSet("x", pflag.ContinueOnError)
		l := lookFlags(fs).readings(fs)
		require.NoError(t, fs.Parse(c.args))
		var o tui.Options
		l.into(&o, func(k string) string { return c.env[k] })
		assert.Equal(t, []any{c.light, c.fps, c.bell, c.wide}, []any{o.Light, o.FPS, o.Bell, o.Big}, "%v %v",
			c.args, c.env)
	}
}
