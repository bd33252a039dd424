// Package exact holds closed forms of exact optima that tests compare whole
// hunts with.
package exact

// Cuts is the expected and the worst number of cuts for n slots that
// are equally likely: k+2-2^(k+1)/n with k = floor(log2 n), and ceil(log2 n).
// Both are 0 for n < 2.
//
// Source: D. E. Knuth, The Art of Computer Programming 3, 6.2.1 (external path
// length of a complete binary tree; from memory).
func Cuts(n int) (expected float64, worst int) {
	if n < 2 {
		return 0, 0
	}
	k := 0
	for 2<<k <= n {
		k++
	}
	worst = k
	if 1<<k < n {
		worst++
	}
	return float64(k+2) - float64(int64(2)<<k)/float64(n), worst
}
