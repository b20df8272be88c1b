package web

import (
	"crypto/subtle"
	"log/slog"
	"net"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"stovewright/message"
)

// contentPolicy lets a page use what this program serves and nothing else:
// no script or style inside the page, nothing from elsewhere, no frames.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// headers sets what every answer carries.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store") // assets say otherwise
		next.ServeHTTP(w, r)
	})
}

// knownHost answers only when asked by a name that means this machine. A page
// on the internet whose name is turned to point here is refused.
func (b *Bench) knownHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !b.hostAllowed(r.Host) {
			b.fail(w, r, &refused{http.StatusMisdirectedRequest, message.T("web.refused.host", "host", r.Host)})
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (b *Bench) hostAllowed(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.ToLower(strings.Trim(host, "[]"))
	if host == "localhost" {
		return true
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsLoopback() {
		return true
	}
	for _, known := range b.Hosts {
		if host == strings.ToLower(known) {
			return true
		}
	}
	return false
}

// sameSite refuses what another site's page asks for: every change, and every
// look that is not the user following a link.
func (b *Bench) sameSite(next http.Handler) http.Handler {
	var protection http.CrossOriginProtection
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := protection.Check(r)
		if site := r.Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
			followed := r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" &&
				r.Header.Get("Sec-Fetch-Dest") == "document"
			if !followed {
				err = http.ErrNotSupported
			}
		}
		if err != nil {
			b.fail(w, r, &refused{http.StatusForbidden, message.T("web.refused.site")})
			return
		}
		next.ServeHTTP(w, r)
	})
}

// keyCookie carries the key of a bench that answers on the local network.
const keyCookie = "stovewright-key"

// invited asks for the key when the bench is open to the local network. The
// key comes with the address that the program prints, once; then a cookie has it.
func (b *Bench) invited(next http.Handler) http.Handler {
	if b.Key == "" {
		return next
	}
	has := func(key string) bool { return subtle.ConstantTimeCompare([]byte(key), []byte(b.Key)) == 1 }
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if cookie, err := r.Cookie(keyCookie); err == nil && has(cookie.Value) {
			next.ServeHTTP(w, r)
			return
		}
		if r.Method == http.MethodGet && has(r.URL.Query().Get("key")) {
			http.SetCookie(w, &http.Cookie{Name: keyCookie, Value: b.Key, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
			http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
			return
		}
		b.fail(w, r, &refused{http.StatusForbidden, message.T("web.refused.key")})
	})
}

// Largest bodies that are read: a filled form, and an export that is brought back.
const (
	maxBody   = 2 << 20
	maxImport = 256 << 20
)

// recorder remembers the status for the log.
type recorder struct {
	http.ResponseWriter
	status int
}

func (w *recorder) WriteHeader(status int) {
	if w.status == 0 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *recorder) Write(p []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	return w.ResponseWriter.Write(p)
}

// Unwrap lets the server's own controls through.
func (w *recorder) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// logged writes a line per request and turns a panic into an answer. Paths
// carry record ids only; nothing a user typed is logged.
func (b *Bench) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		rec := &recorder{ResponseWriter: w}
		defer func() {
			if p := recover(); p != nil {
				if p == http.ErrAbortHandler {
					panic(p)
				}
				b.Log.Error("panic", "method", r.Method, "path", r.URL.Path, "panic", p, "stack", string(debug.Stack()))
				if rec.status == 0 {
					b.fail(rec, r, errPanicked)
				}
			}
			level := slog.LevelInfo
			if rec.status >= 500 {
				level = slog.LevelError
			} else if strings.HasPrefix(r.URL.Path, "/static/") {
				level = slog.LevelDebug
			}
			b.Log.Log(r.Context(), level, "request", "method", r.Method, "path", r.URL.Path,
				"status", rec.status, "took", time.Since(start).Round(10*time.Microsecond))
		}()
		next.ServeHTTP(rec, r)
	})
}
