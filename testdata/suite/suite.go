// Package suite says how much the tests try.
package suite

import "os"

// Exhaustive asks for everything that a test could try. Without it a test takes
// a sample, which is the same each time.
var Exhaustive = os.Getenv("VOUCHMARK_EXHAUSTIVE") != ""
