//go:build !race

package main

import "testing"

func skipUnderRace(*testing.T) {}
