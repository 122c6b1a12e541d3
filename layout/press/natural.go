package press

import "vouchmark/assess"

// natural is the order of names in which a person walks the plant.
var natural = assess.Natural
