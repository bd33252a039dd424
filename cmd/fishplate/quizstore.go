package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"fishplate/diagnose/drill"
	classroom "fishplate/diagnose/drill/quiz"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
)

// quizStore keeps the quiz of one number, kind and difficulty on one layout in a file in
// the user's configuration folder. A lock keeps a second fishplate away from it.
type quizStore struct {
	again string
	path  string
	lock  *lock
	// kept says that it lies there and goes on.
	kept bool
}

// keepQuiz finds the file of a quiz, and takes away what lies there where it is to be new.
func (a *drillArgs) keepQuiz(src *source, fresh bool) (*quizStore, error) {
	where := src.path()
	if abs, err := filepath.Abs(where); err == nil && where != "" {
		where = abs
	}
	path, err := drillFile(fmt.Sprintf("quiz-%d.%s.json", a.class, fileWord(a.fault+" "+a.difficulty+" "+where)))
	if err != nil {
		return nil, err
	}
	if err := makeFolder(filepath.Dir(path)); err != nil {
		return nil, err
	}
	k := &quizStore{again: a.again("quiz"), path: path}
	if k.lock, err = tryLock("quiz", path); err != nil {
		return nil, err
	}
	if fresh {
		_, err = putAside(path)
	}
	return k, err
}

// left is the quiz that was left, nil where none was.
func (k *quizStore) left(l *track.Layout) (*classroom.Quiz, error) {
	data, err := readOutside(k.path, outside.Drill)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("could not read the saved quiz: %w", err)
	}
	k.kept = true
	return classroom.Resume(l, data, drill.Salt(generator()))
}

// keep writes a quiz down as it stands; one that is over goes.
func (k *quizStore) keep(q *classroom.Quiz) error {
	if q.Over() {
		k.kept = false
		return deleteFile(k.path)
	}
	if !q.Begun() {
		return nil
	}
	data, err := q.Save()
	if err == nil {
		err = writeFile(k.path, data)
	}
	k.kept = k.kept || err == nil
	return err
}

// words say how it goes on.
func (k *quizStore) words() string {
	if k.kept {
		return "The quiz is kept. It goes on with: " + k.again
	}
	return "The same fault again: " + k.again
}
