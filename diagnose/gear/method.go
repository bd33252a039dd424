package gear

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
)

// The methods by which a hunt chooses its readings, by their names.
const (
	Quickest  = "quickest"
	Bisection = "bisection"
)

// Methods are their names, the usual one first.
func Methods() []string { return []string{Quickest, Bisection} }

// MethodOf is the method that a kit asks for.
func MethodOf(k *hunt.Kit) string {
	if k.Bisect {
		return Bisection
	}
	return Quickest
}

// BlockSays says where a hunt may begin to read.
const BlockSays = "all that the labelled block tells is read before anything on the track: more readings, fewer of " +
	"them on your knees"

// MethodSays says what bisection is, and what the other method does instead.
const MethodSays = "bisection: each reading halves what is left, and what it costs only breaks ties; quickest: what " +
	"each tells a minute"

// ReadMethod reads the name of a method.
func ReadMethod(s string) (bisect bool, err error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case Quickest:
		return false, nil
	case Bisection:
		return true, nil
	}
	return false, fmt.Errorf("%q is no method; write %s", s, strings.Join(Methods(), " or "))
}
