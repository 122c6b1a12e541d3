package browser

import (
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// validator is html-validate, in a folder for the pages; check gives what it finds in some of them.
func validator(t *testing.T) (dir string, check func(names ...string) (string, error)) {
	dir = installed(t, "html-validate@9")
	if err := os.WriteFile(filepath.Join(dir, ".htmlvalidate.json"), []byte(`{"root": true, "extends": ["html-validate:standard"]}`), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir, func(names ...string) (string, error) {
		c := exec.Command(filepath.Join(dir, "node_modules", ".bin", "html-validate"), names...)
		c.Dir = dir
		out, err := c.CombinedOutput()
		return string(out), err
	}
}

// The pages are valid HTML (the standard preset of html-validate, a checker from the npm
// registry): each published file, and what only a server shows. What comes of forms: TestFormsAccessible.
func TestValidHTML(t *testing.T) {
	dir, check := validator(t)
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("wrong.html", `<!DOCTYPE html><html lang="en"><head><title>x</title></head><body><ul><p>x</p></ul></body></html>`)
	if out, err := check("wrong.html"); err == nil || !strings.Contains(out, "element-permitted-content") {
		t.Fatalf("the checker finds nothing wrong with a wrong page: %v %s", err, out)
	}

	p := newPlant(t, "mill")
	p.call(t, "publish", filepath.Join(dir, "public"))
	labels, err := filepath.Glob(filepath.Join(dir, "public", "V", "*", "*"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	url := p.serve(t, "--allow-writes")
	rel, _ := filepath.Rel(filepath.Join(dir, "public"), labels[0])
	code := strings.Split(rel, "/")[1]
	list, word := filepath.Join(dir, "people.toml"), filepath.Join(dir, "word")
	if err := os.WriteFile(word, []byte("correct horse battery\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, p.program, "person", "add", "M. Sample", "--role", "planner", "--people", list, "--password-file", word)
	peopled := p.serve(t, "--allow-writes", "--people", list)
	for name, path := range map[string]string{
		"sign-in": "@/sign-in/", "signed-out": "@/change/",
		"start": "/", "found": "/?q=chip&sort=energy", "label": "/" + rel + "/", "differs": "/V/" + code + "/X-1.1CAL/", "missing": "/none",
		"reprint": "/reprint/?code=" + code, "change": "/change/", "findings": "/findings/", "plant": "/plant/", "walk": "/walk/", "audit": "/audit/", "archive": "/audit/archive/",
		"print": "/print/", "overlay": "/overlay/?at=" + code, "mounted": "/mounted/?at=" + code, "withdraw": "/withdraw/?at=" + code, "removed": "/removed/",
		"settle": "/settle/?change=2026-02-10/CHIP-X9", "review": "/review/?at=CHIP-X9", "accept": "/accept/?at=TURB-B1", "done": "/done/none/",
		"elsewhere": "/NORTH/V/" + code + "/", "interim": offered(t, filepath.Join(dir, "public"), url)("/interim/?at=", "in-question"),
	} {
		at := url + path
		if rest, ok := strings.CutPrefix(path, "@"); ok { // of the server at which people sign in
			at = peopled + rest
		}
		answer, err := http.Get(at)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(answer.Body)
		answer.Body.Close()
		if err != nil || len(data) < 300 {
			t.Fatalf("%s: %d bytes, %v", path, len(data), err)
		}
		write("served-"+name+".html", string(data))
	}
	if out, err := check("public/**/*.html", "served-*.html"); err != nil {
		t.Errorf("%v\n%.5000s", err, out)
	}
}
