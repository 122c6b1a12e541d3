package publish

import (
	"runtime"
	"strings"
)

// windows says that names are stored as Windows can.
var windows = runtime.GOOS == "windows"

// stored is the name under which a file is on the disk. The link on a label may end in a dot,
// and Windows neither stores nor opens a name that does: whoever asks for it there gets the one
// without the dot.
func stored(name string) string {
	if !windows {
		return name
	}
	parts := strings.Split(name, "/")
	for i, part := range parts {
		parts[i] = strings.TrimRight(part, ".")
	}
	return strings.Join(parts, "/")
}
