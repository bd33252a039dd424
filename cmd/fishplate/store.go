package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"fishplate/diagnose/hunt"
)

// store keeps one hunt in one file.
type store struct {
	path string
	// aside says that another hunt lies there that was not gone on with: it is
	// moved to path + ".old" before the first write.
	aside bool
}

// place is where the hunt of a layout is kept: beside its file, and for the
// demo in the user's own configuration folder.
func (s *source) place() (string, error) {
	if !s.demo {
		return s.name + ".hunt.json", nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("there is no folder to keep the hunt in: %w", err)
	}
	return filepath.Join(dir, "fishplate", "demo.hunt.json"), nil
}

// find reads the hunt that is kept; nil when there is none.
func (st *store) find() ([]byte, error) {
	data, err := os.ReadFile(st.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("could not read the saved hunt: %w", err)
	}
	return data, nil
}

// write puts a hunt in place of the one before: a temporary file in the same
// folder, flushed to the disk, then renamed, so that a crash leaves the one or
// the other.
func (st *store) write(journal []byte) error {
	dir := filepath.Dir(st.path)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(dir, filepath.Base(st.path)+".*.tmp")
	if err != nil {
		return err
	}
	_, err = f.Write(journal)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil && st.aside {
		if err = os.Rename(st.path, st.path+".old"); err == nil || errors.Is(err, fs.ErrNotExist) {
			st.aside, err = false, nil
		}
	}
	if err == nil {
		err = os.Rename(f.Name(), st.path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync() // not every system can flush a folder
		_ = d.Close()
	}
	return nil
}

// saved is a hunt that was taken up again.
type saved struct {
	hunt *hunt.Hunt
	kit  hunt.Kit
	open bool // it has not come to its end
}

// resume takes up a kept hunt. The kit is the one it was begun with, unless
// another one was given.
func resume(s *source, k *kitFlag, data []byte) (*saved, error) {
	kit := k.kit
	if !k.given {
		old := struct {
			Kit *hunt.Kit `json:"kit"`
		}{}
		if err := json.Unmarshal(data, &old); err == nil && old.Kit != nil {
			kit = *old.Kit
		}
	}
	h, err := hunt.Resume(s.layout, kit, data)
	if err != nil {
		return nil, err
	}
	v := h.View()
	d := v.Step.Done
	over := d != nil && (d.Proven || d.Prove == nil)
	return &saved{h, kit, v.Symptom != nil && !over}, nil
}
