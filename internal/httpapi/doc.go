// Package httpapi serves the app: jobs, plans and what is drawn of them, to one
// person's browser on the same machine. Each route decodes, calls and encodes; what a
// job is and how it is planned lies in [desk] and below.
//
// Answers are JSON described by OpenAPI made from the Go types, but for streams of
// events (text/event-stream), meshes and their values (little-endian numbers) and files.
// Errors are problem+json with the texts of the command line.
package httpapi
