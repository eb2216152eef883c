package page

import (
	"crypto/sha256"
	"crypto/subtle"
	"net"
	"net/http"
	"net/url"
)

// Bounds on requests, in bytes.
const (
	mostHeader = 32 << 10
	mostQuery  = 16 << 10
	mostBody   = 64 << 10
)

// guard lets in who is meant: the browser on this machine, on a page of ours.
type guard struct {
	address string // host and port as listened on
	token   string // "" where the address is this machine's own
}

const cookie = "sawbook"

// wrap puts the checks before a handler.
func (g *guard) wrap(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		switch {
		case !g.knows(r.Host):
			http.Error(w, "this host is not served here", http.StatusMisdirectedRequest)
		case !g.ours(r):
			http.Error(w, "another page may not ask this one", http.StatusForbidden)
		case len(r.URL.RawQuery) > mostQuery:
			http.Error(w, "the address is too long", http.StatusRequestURITooLong)
		case g.token != "" && g.welcome(w, r):
			http.Redirect(w, r, entrance(r), http.StatusSeeOther)
		case g.token != "" && !g.carries(r):
			http.Error(w, "open the address that sawbook page printed, with its token", http.StatusUnauthorized)
		default:
			r.Body = http.MaxBytesReader(w, r.Body, mostBody)
			next.ServeHTTP(w, r)
		}
	})
}

// knows reports whether a request names the host that is listened on. A name that another
// site lets point here is none of these.
func (g *guard) knows(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		return false
	}
	ownName, ownPort, _ := net.SplitHostPort(g.address)
	if port != ownPort {
		return false
	}
	ip := net.ParseIP(name)
	if own := net.ParseIP(ownName); own != nil && own.IsUnspecified() {
		return ip != nil // the token keeps strangers out
	}
	return name == ownName || g.loopback() && (name == "localhost" || ip != nil && ip.IsLoopback())
}

// loopback reports whether only this machine reaches the address.
func (g *guard) loopback() bool {
	name, _, _ := net.SplitHostPort(g.address)
	ip := net.ParseIP(name)
	return name == "localhost" || ip != nil && ip.IsLoopback()
}

// ours reports whether a request comes from a page of ours, or is one that a person typed.
func (g *guard) ours(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		u, err := url.Parse(origin)
		return err == nil && u.Scheme == "http" && u.Host == r.Host
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "cross-site", "same-site":
		return r.Method == http.MethodGet && r.URL.Path == entrance(r) && r.Header.Get("Sec-Fetch-Mode") == "navigate"
	}
	return r.Method == http.MethodGet || r.Method == http.MethodHead
}

// entrance returns the page that a request is for, of those that a person comes in by.
func entrance(r *http.Request) string {
	if r.URL.Path == sawPage {
		return sawPage
	}
	return "/"
}

// welcome takes a token from the address into a cookie, and reports whether it was right.
func (g *guard) welcome(w http.ResponseWriter, r *http.Request) bool {
	if r.Method != http.MethodGet || !g.right(r.URL.Query().Get("token")) {
		return false
	}
	http.SetCookie(w, &http.Cookie{Name: cookie, Value: g.token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	return true
}

func (g *guard) carries(r *http.Request) bool {
	c, err := r.Cookie(cookie)
	return err == nil && g.right(c.Value)
}

// right compares tokens in a time that tells nothing of them.
func (g *guard) right(token string) bool {
	a, b := sha256.Sum256([]byte(token)), sha256.Sum256([]byte(g.token))
	return subtle.ConstantTimeCompare(a[:], b[:]) == 1
}
