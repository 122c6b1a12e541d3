package commands

import (
	"runtime"
	"runtime/debug"
	"time"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// version is what the Go toolchain recorded when it built the program.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if r := setting(info, "vcs.revision"); r != "" && (v == "" || v == "(devel)") {
		v = r[:min(12, len(r))]
	}
	return v
}

// setting is a setting of the build; "" if it is not known.
func setting(info *debug.BuildInfo, key string) string {
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}

// built is what version shows.
type built struct {
	Version  string    `json:"version"`
	Revision string    `json:"revision"` // of the source; "" if not known
	Modified bool      `json:"modified"` // the source differed from that revision
	Time     time.Time `json:"time,omitzero"`
	Go       string    `json:"go"`
	System   string    `json:"system"`
	Rules    int       `json:"rules"`
	Schema   int       `json:"schema"`
}

func build() built {
	b := built{Version: version(), Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH,
		Rules: assess.Rules, Schema: record.Schema}
	if info, ok := debug.ReadBuildInfo(); ok {
		b.Revision, b.Modified = setting(info, "vcs.revision"), setting(info, "vcs.modified") == "true"
		b.Time, _ = time.Parse(time.RFC3339, setting(info, "vcs.time")) // zero if not known
	}
	return b
}

// Version is the command of that name.
func Version(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, _ []string) error {
		b := build()
		revision := b.Revision
		switch {
		case revision == "":
			revision = "not known"
		case b.Modified:
			revision += ", modified"
		}
		return e.tell(b, "vouchmark %s\nrevision  %s\nrules     %d\nschema    %d of records\nbuilt     with %s for %s\n",
			b.Version, revision, b.Rules, b.Schema, b.Go, b.System)
	}
}
