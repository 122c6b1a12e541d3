// Package suite says how thorough the tests are, and counts what they cost.
package suite

import "os"

// Exhaustive makes tests try everything that they can. Without it a test takes a
// sample, which is the same each time.
var Exhaustive = os.Getenv("VOUCHMARK_EXHAUSTIVE") != ""
