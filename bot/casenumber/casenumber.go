// Package casenumber writes and reads case numbers: a counter and a Damm check
// digit, which catches every single wrong digit and every swap of neighbours.
package casenumber

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Number is the counter of a case, 1 and up.
type Number int

// ErrCheck says that the check digit does not fit: a digit is wrong or two are
// swapped.
var ErrCheck = errors.New("case number fails its check digit")

// damm is the totally anti-symmetric quasigroup of order 10 of H.M. Damm,
// Total anti-symmetrische Quasigruppen, Marburg 2004 (from memory).
var damm = [10][10]int{
	{0, 3, 1, 7, 5, 9, 8, 6, 4, 2},
	{7, 0, 9, 2, 1, 5, 4, 8, 6, 3},
	{4, 2, 0, 6, 8, 7, 1, 3, 5, 9},
	{1, 7, 5, 0, 9, 8, 3, 4, 2, 6},
	{6, 1, 2, 3, 0, 4, 5, 9, 7, 8},
	{3, 6, 7, 4, 2, 0, 9, 5, 8, 1},
	{5, 8, 6, 9, 7, 2, 0, 1, 3, 4},
	{8, 9, 4, 5, 3, 6, 2, 0, 1, 7},
	{9, 4, 3, 8, 6, 1, 7, 2, 0, 5},
	{2, 5, 8, 1, 4, 3, 6, 7, 9, 0},
}

// CheckDigit is the Damm digit of a string of digits: 572 → 4.
func CheckDigit(digits string) int {
	interim := 0
	for _, d := range digits {
		interim = damm[interim][d-'0']
	}
	return interim
}

// String writes 1042-9.
func (n Number) String() string {
	s := strconv.Itoa(int(n))
	return s + "-" + strconv.Itoa(CheckDigit(s))
}

// Parse reads 1042-9, 10429 and "1042 9"; the last digit is always the check
// digit. Errors: ErrCheck, or a number that is none.
func Parse(s string) (Number, error) {
	digits := strings.NewReplacer("-", "", " ", "").Replace(strings.TrimSpace(s))
	const longest = 15
	if len(digits) < 2 || len(digits) > longest || strings.Trim(digits, "0123456789") != "" {
		return 0, fmt.Errorf("%q is no case number", s)
	}
	body := digits[:len(digits)-1]
	if CheckDigit(digits) != 0 {
		return 0, ErrCheck
	}
	n, err := strconv.Atoi(body)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is no case number", s)
	}
	return Number(n), nil
}
