package httpapi

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"laywright/internal/desk"
	"laywright/internal/stage/nest"
)

// stream writes events as a browser's EventSource reads them.
type stream struct {
	mu sync.Mutex
	w  http.ResponseWriter
	c  *http.ResponseController
}

func newStream(w http.ResponseWriter) *stream {
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	s := &stream{w: w, c: http.NewResponseController(w)}
	s.c.SetWriteDeadline(time.Time{}) // it lasts as long as the work
	return s
}

func (s *stream) send(kind string, body any) {
	text, err := json.Marshal(body)
	if err != nil {
		kind, text = "failed", []byte(`{"detail":"an answer could not be written"}`)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	fmt.Fprintf(s.w, "event: %s\ndata: %s\n\n", kind, text)
	s.c.Flush()
}

// events makes the plan of a version and tells how that goes on: `stage` as each
// begins, `quick` with the first numbers, `roll` while a layout is searched, at last
// `plan`, or `stale` or `failed`. Closing the connection stops the work.
func (s *server) events(w http.ResponseWriter, r *http.Request) {
	d, err := s.Room.Open(r.PathValue("id"))
	if err != nil {
		refuse(w, err)
		return
	}
	out := newStream(w)
	made, err := d.Plan(r.Context(), r.URL.Query().Get("version"), desk.Watch{
		Stage: func(name string) { out.send("stage", map[string]string{"name": name}) },
		Quick: func(m *desk.Made) { out.send("quick", viewOf(m)) },
		Roll: func(p nest.Progress) bool {
			out.send("roll", map[string]any{"done": p.Done, "use": p.Use})
			return true
		},
	})
	var stale desk.Stale
	switch {
	case errors.As(err, &stale):
		out.send("stale", map[string]string{"version": stale.Now.Version})
	case errors.Is(err, context.Canceled):
		out.send("stopped", struct{}{})
	case err != nil:
		out.send("failed", map[string]string{"detail": err.Error()})
	default:
		out.send("plan", viewOf(made))
	}
}

// watch tells a window of every change of a job that it did not make itself.
func (s *server) watch(w http.ResponseWriter, r *http.Request) {
	d, err := s.Room.Open(r.PathValue("id"))
	if err != nil {
		refuse(w, err)
		return
	}
	out := newStream(w)
	version := r.URL.Query().Get("version")
	look := time.NewTicker(2 * time.Second) // for what other programs do to the file
	defer look.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-look.C:
		case <-d.Moved(version):
		}
		state, err := d.State()
		if err != nil {
			out.send("failed", map[string]string{"detail": err.Error()})
			return
		}
		if state.Version != version {
			version = state.Version
			out.send("version", map[string]string{"version": version})
		}
	}
}
