package suite

import (
	"runtime"
	"testing"
	"time"
)

// Bounded calls a function and fails if it asks for more memory, or makes more allocations, than
// its input allows: perByte bytes for each byte of it, and base bytes besides. Both are counts of
// work: they do not depend on how busy the machine is. What works on without asking for memory is found
// by the processor's time, of which there is far more than any input needs.
func Bounded(t testing.TB, size, perByte, base int, f func()) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := CPU()
	f()
	if took, most := CPU()-began, 20*time.Second+time.Duration(size)*time.Millisecond; took > most {
		t.Errorf("%v of the processor for an input of %d bytes, at most %v expected", took, size, most)
	}
	runtime.ReadMemStats(&after)
	most := uint64(size*perByte + base)
	if took := after.TotalAlloc - before.TotalAlloc; took > most {
		t.Errorf("%d bytes of memory for an input of %d bytes, at most %d expected", took, size, most)
	}
	const least = 32 // bytes of an allocation
	if made := after.Mallocs - before.Mallocs; made > most/least {
		t.Errorf("%d allocations for an input of %d bytes, at most %d expected", made, size, most/least)
	}
}

// Longest is the most bytes of an input that fuzzing tries: a longer one finds no more, and takes
// longer.
const Longest = 1 << 16
