// Package calc is the roof over the formulas. It holds no code: its tests hold
// every formula below it against published figures (testdata/published), against
// the rules of the house and against the clock.
package calc
