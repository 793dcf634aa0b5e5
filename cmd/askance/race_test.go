//go:build race

package main

import "testing"

// skipUnderRace leaves out a test that runs whole commands many times: the
// race detector makes it ten times slower, and TestDemoAgainstTruth takes the
// same way through the program.
func skipUnderRace(t *testing.T) { t.Skip("too slow with the race detector") }
