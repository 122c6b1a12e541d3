package page

import (
	"cmp"
	"maps"
	"path"
)

// kinds are the content types of the files. The operating system's own list cannot be relied on.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".csv": "text/csv; charset=utf-8", ".ics": "text/calendar; charset=utf-8", ".json": "application/json", ".svg": "image/svg+xml", ".txt": "text/plain; charset=utf-8",
	".woff2": "font/woff2", ".woff": "font/woff", ".ttf": "font/ttf", ".otf": "font/otf",
}

// TypeOf is the content type of a file, by the ending of its name.
func TypeOf(name string) string { return cmp.Or(kinds[path.Ext(name)], "application/octet-stream") }

// CacheOf is the Cache-Control of a file: one whose name holds a digest of its bytes is kept for good, every other
// one is asked for again each time.
func CacheOf(fixed bool) string {
	if fixed {
		return "public, max-age=31536000, immutable"
	}
	return "no-cache"
}

// Heads is all that [TypeOf] and [CacheOf] say: by ending, "" for all others, and as [FixedCache] and [OtherCache].
func Heads() map[string]string {
	all := maps.Clone(kinds)
	all[""], all[FixedCache], all[OtherCache] = TypeOf(""), CacheOf(true), CacheOf(false)
	return all
}

// What Heads calls the two lifetimes.
const (
	FixedCache = "cache of fixed"
	OtherCache = "cache of others"
)
