package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
)

// lastKit is what lay on the table in the hunt before, on whatever layout: the kit is
// asked for from there. It is beside the settings, which go before it.
type lastKit struct {
	path string
	kit  *hunt.Kit // as it is kept, nil for none
}

// kitOnTable reads what is kept; a file that cannot be read, or that no kit can be, is
// as good as none.
func kitOnTable() *lastKit {
	dir, err := os.UserConfigDir()
	if err != nil {
		return &lastKit{}
	}
	l := &lastKit{path: filepath.Join(dir, "fishplate", "kit.json")}
	data, err := readOutside(l.path, outside.Settings)
	if err != nil {
		return l
	}
	k := hunt.Kit{}
	if outside.Settings.Decode(data, &k) == nil && k.Check() == nil {
		k = toolsOf(k)
		l.kit = &k
	}
	return l
}

// toolsOf is a kit without what belongs to one layout or hunt, or has a file of its own.
func toolsOf(k hunt.Kit) hunt.Kit {
	k.Track, k.Own, k.Armed, k.Block, k.Bisect = nil, nil, false, false, false
	return k
}

// after wraps what keeps a hunt, so that its kit is kept too. A kit that cannot be is
// asked for anew the next time, and no hunt suffers for it.
func (l *lastKit) after(save func([]byte) error) func([]byte) error {
	return func(data []byte) error {
		err := save(data)
		k, ok := (&record{Hunt: data}).kit()
		if k = toolsOf(k); err != nil || !ok || l.path == "" || l.kit != nil && reflect.DeepEqual(k, *l.kit) {
			return err
		}
		l.kit = &k
		if data, err := json.MarshalIndent(k, "", " "); err == nil {
			_ = os.MkdirAll(filepath.Dir(l.path), 0o755)
			_ = writeFile(l.path, append(data, '\n'))
		}
		return nil
	}
}
