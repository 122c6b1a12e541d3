package press

import "vouchmark/assess"

// natural is the order in which a person walks the plant, by name.
var natural = assess.Natural
