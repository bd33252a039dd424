package drill_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
)

// Who lifts a piece is told what a joint is called, and what looks under a piece.
func TestAPieceIsNoJoint(t *testing.T) {
	d := begin(t, "loop", "short", "usual", 3)
	_, err := d.Do(drill.Act{Do: drill.DoLift, At: "main 4"})
	require.ErrorContains(t, err, "that is a piece, and a joint has two")
	require.ErrorContains(t, err, "look main 4")
}
