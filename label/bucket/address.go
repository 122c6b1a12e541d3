package bucket

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// Address is where a bucket is, such as
//
//	s3://BUCKET?prefix=PLANT/&region=REGION&endpoint=https://HOST&use_path_style=true
//	file:///PATH
//
// It never holds a name or a password: those come from the store's usual environment.
type Address struct {
	text   string
	Path   string // of a folder; "" for a store
	Prefix string // before all keys in a store, ending in a slash, or ""
	store  *url.URL
}

// Is reports whether a text means to be an address of a bucket.
func Is(text string) bool {
	return strings.HasPrefix(text, "s3://") || strings.HasPrefix(text, "file:")
}

// settings are those of an address that can be kept and shown to everyone; the library knows more.
var settings = []string{"prefix", "region", "endpoint", "use_path_style", "disable_https", "profile", "anonymous",
	"request_checksum_calculation", "response_checksum_validation", "rate_limiter_capacity", "dualstack", "fips", "accelerate",
	"ssetype", "kmskeyid", "hostname_immutable"}

// Parse reads an address. The error says what to write instead.
func Parse(text string) (*Address, error) {
	u, err := url.Parse(text)
	if err != nil {
		return nil, errors.New("not an address; write s3://BUCKET?prefix=PREFIX/ or file:///PATH")
	}
	switch {
	case u.User != nil:
		return nil, errors.New("an address must not hold a name or password; set them in the environment (AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or AWS_PROFILE)")
	case u.Fragment != "":
		return nil, errors.New("an address has no #; write %23 if it is part of a name")
	case u.Scheme == "file":
		return parseFolder(text, u)
	case u.Scheme == "s3":
		return parseStore(text, u)
	}
	return nil, fmt.Errorf("%s:// is not known; write s3://BUCKET?prefix=PREFIX/ or file:///PATH", u.Scheme)
}

func parseFolder(text string, u *url.URL) (*Address, error) {
	path := u.Path
	if runtime.GOOS == "windows" { // file:///C:/plants
		path = strings.TrimPrefix(path, "/")
	}
	path = filepath.FromSlash(path)
	switch {
	case u.Host != "" || u.Opaque != "":
		return nil, errors.New("the path of a folder begins after three slashes: file:///PATH")
	case u.RawQuery != "":
		return nil, errors.New("a folder has no settings; write file:///PATH alone")
	case !filepath.IsAbs(path):
		return nil, errors.New("a whole path is needed: file:///PATH")
	}
	return &Address{text: text, Path: filepath.Clean(path)}, nil
}

func parseStore(text string, u *url.URL) (*Address, error) {
	if u.Path != "" && u.Path != "/" {
		in := strings.Trim(u.Path, "/")
		return nil, fmt.Errorf("a path after the name of the bucket is not part of an address; write s3://%s?prefix=%s/", u.Host, in)
	}
	if u.Host == "" {
		return nil, errors.New("the name of the bucket is missing; write s3://BUCKET?prefix=PREFIX/")
	}
	query, err := url.ParseQuery(u.RawQuery)
	if err != nil {
		return nil, fmt.Errorf("settings that cannot be read: %w", err)
	}
	for name, values := range query {
		if !slices.Contains(settings, name) {
			return nil, fmt.Errorf("the setting %q is not known; those of an address are %s", name, strings.Join(settings, ", "))
		}
		if len(values) > 1 {
			return nil, fmt.Errorf("the setting %q is given twice", name)
		}
	}
	prefix := strings.Trim(query.Get("prefix"), "/")
	if prefix != "" {
		for _, part := range strings.Split(prefix, "/") {
			if part == "" || part == "." || part == ".." {
				return nil, fmt.Errorf("prefix=%s has a part that some stores change; write names with one slash between them", query.Get("prefix"))
			}
		}
		prefix += "/"
	}
	query.Del("prefix")
	store := &url.URL{Scheme: u.Scheme, Host: u.Host, RawQuery: query.Encode()}
	return &Address{text: text, Prefix: prefix, store: store}, nil
}

// String is the address as it was given.
func (a *Address) String() string { return a.text }

// Name is the address without its settings, for messages.
func (a *Address) Name() string {
	if a.store == nil {
		return a.text
	}
	return "s3://" + a.store.Host + "/" + a.Prefix
}

// Below is the address of a folder in this one. The name may end in a slash.
func (a *Address) Below(name string) *Address {
	name = strings.Trim(name, "/")
	if a.store == nil {
		path := filepath.Join(a.Path, filepath.FromSlash(name))
		return &Address{text: strings.TrimRight(a.text, "/") + "/" + (&url.URL{Path: name}).EscapedPath(), Path: path}
	}
	below := *a
	below.Prefix = a.Prefix + name + "/"
	query := a.store.Query()
	query.Set("prefix", below.Prefix)
	below.text = "s3://" + a.store.Host + "?" + strings.ReplaceAll(query.Encode(), "%2F", "/")
	return &below
}

// Root is the address of the whole bucket, and the prefix of this one in it. Of a folder it is the address itself.
func (a *Address) Root() (root *Address, prefix string) {
	if a.store == nil {
		return a, ""
	}
	whole := *a
	whole.Prefix, whole.text = "", a.store.String()
	return &whole, a.Prefix
}

// Same reports whether a text is an address of the same place, whatever other settings it has.
func (a *Address) Same(text string) bool {
	b, err := Parse(text)
	if err != nil || (a.store == nil) != (b.store == nil) {
		return false
	}
	if a.store == nil {
		return a.Path == b.Path
	}
	return a.store.Host == b.store.Host && a.Prefix == b.Prefix && a.store.Query().Get("endpoint") == b.store.Query().Get("endpoint")
}

// Open opens the bucket at an address. It sends nothing: a bucket that is not there shows at the first
// request.
func (a *Address) Open(ctx context.Context) (Bucket, error) {
	if a.store == nil {
		return openFolder(a.Path)
	}
	return openS3(ctx, a)
}
