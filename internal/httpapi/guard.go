package httpapi

import (
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// policy lets a page load from this server alone.
const policy = "default-src 'self'; img-src 'self' data: blob:; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
	"object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"

// guard keeps other sites out. A page of another site could send requests here from
// the person's own browser, or have its own name point to this machine; so the Host
// must be one of ours, and what changes something must come from a page of ours.
func guard(hosts []string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if !ours(r.Host, hosts) {
			fail(w, http.StatusMisdirectedRequest, "this server does not answer to the name "+r.Host+"; open it as 127.0.0.1 or localhost")
			return
		}
		if !samePage(r) {
			fail(w, http.StatusForbidden, "requests from pages of other sites are refused")
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		next.ServeHTTP(w, r)
	})
}

// ours tells whether a Host header names this machine.
func ours(host string, hosts []string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.ToLower(strings.Trim(name, "[]"))
	return name == "localhost" || name == "127.0.0.1" || name == "::1" || slices.Contains(hosts, name)
}

// samePage tells whether a request comes from a page of this server, or from no page
// at all. Browsers say where a request that may change something comes from.
func samePage(r *http.Request) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		return false
	}
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	from, err := url.Parse(origin)
	return err == nil && from.Host == r.Host
}
