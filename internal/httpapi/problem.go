package httpapi

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"os"

	"github.com/danielgtaylor/huma/v2"

	"laywright/internal/desk"
)

// fail answers with a problem, for routes that are not described.
func fail(w http.ResponseWriter, status int, text string) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(huma.ErrorModel{Title: http.StatusText(status), Status: status, Detail: text})
}

// statusOf is the one table of which error answers with what.
func statusOf(err error) int {
	var stale desk.Stale
	var path *os.PathError
	switch {
	case errors.As(err, &stale):
		return http.StatusConflict
	case errors.Is(err, desk.ErrNoJob), errors.Is(err, errNoPlan), errors.Is(err, os.ErrNotExist):
		return http.StatusNotFound
	case errors.Is(err, context.Canceled):
		return http.StatusConflict
	case errors.As(err, &path):
		return http.StatusInternalServerError
	}
	return http.StatusUnprocessableEntity
}

// refused is the error of a described route.
func refused(err error) error {
	if err == nil {
		return nil
	}
	return huma.NewError(statusOf(err), err.Error())
}

func refuse(w http.ResponseWriter, err error) { fail(w, statusOf(err), err.Error()) }

var errNoPlan = errors.New("there is no plan of this job yet")
