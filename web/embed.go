// Package web holds the built page of the app.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Assets is the built page; nil where it was not built.
func Assets() fs.FS {
	out, err := fs.Sub(dist, "dist")
	if err != nil {
		return nil
	}
	if _, err := fs.Stat(out, "index.html"); err != nil {
		return nil
	}
	return out
}
