package httpapi

import (
	"bytes"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

// unbuilt is what a program shows that was built without the page.
const unbuilt = `<!doctype html><html lang="en"><title>Laywright</title><h1>Laywright</h1>
<p>This program was built without its page. Build it with <code>make build</code>, which needs Node and npm;
the command line works without.</p></html>`

// pages serves the built page. What has a hash in its name never changes; a path with
// an ending that is not there is an error, and never the page.
func pages(assets fs.FS) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if name == "" || name == "." || path.Ext(name) == "" {
			name = "index.html"
		}
		var content []byte
		var err error
		if assets != nil {
			content, err = fs.ReadFile(assets, name)
		}
		switch {
		case content != nil && err == nil:
		case name == "index.html":
			content = []byte(unbuilt)
		default:
			fail(w, http.StatusNotFound, "there is nothing at "+r.URL.Path)
			return
		}
		if strings.HasPrefix(name, "assets/") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		} else {
			w.Header().Set("Cache-Control", "no-cache")
		}
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	})
}
