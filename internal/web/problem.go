package web

import (
	"errors"
	"net/http"

	"stovewright/message"
	"stovewright/workshop"
)

// refused is a request that the bench does not serve, whoever asks.
type refused struct {
	status int
	text   message.Text
}

func (e *refused) Error() string { return "web: " + message.English().Say(e.text) }

var errPanicked = errors.New("web: a handler panicked")

// missing is a page or part that does not exist.
func missing() error {
	return &refused{http.StatusNotFound, message.T("web.refused.page")}
}

// problem is the page that says what went wrong and what to do.
type problem struct {
	frame
	Status     int
	What       message.Text
	Do         message.Text
	Complaints message.InputErrors
	Broken     *broken
}

// broken is a record whose document cannot be read.
type broken struct {
	Repair, Name, Document string // Repair is where the mended text is sent
}

// statusOf says which status an error has, and in which words it is told.
func statusOf(err error) (status int, what, do message.Text) {
	var refusal *refused
	var tooLarge *http.MaxBytesError
	var said interface{ Text() message.Text }
	if errors.As(err, &said) {
		what = said.Text()
	}
	switch {
	case errors.As(err, &refusal):
		return refusal.status, refusal.text, message.T("web.do.back")
	case errors.As(err, &tooLarge):
		return http.StatusRequestEntityTooLarge, message.T("web.refused.large"), message.T("web.do.back")
	case errors.As(err, new(*unreadable)):
		return http.StatusUnprocessableEntity, message.T("web.broken"), message.T("web.broken.do")
	case errors.Is(err, workshop.ErrNotFound):
		return http.StatusNotFound, what, message.T("web.do.list")
	case errors.Is(err, workshop.ErrNothingTo):
		return http.StatusConflict, what, message.T("web.do.back")
	case errors.As(err, new(*workshop.ConflictError)):
		return http.StatusConflict, what, message.T("web.do.reload")
	case errors.Is(err, workshop.ErrBusy):
		return http.StatusServiceUnavailable, what, message.T("web.do.again")
	case errors.Is(err, workshop.ErrFull):
		return http.StatusInsufficientStorage, what, message.T("web.do.again")
	case errors.As(err, new(*workshop.FileError)), errors.As(err, new(*workshop.NewerFileError)):
		return http.StatusInternalServerError, what, message.T("web.do.again")
	case errors.As(err, new(*workshop.ImportError)):
		return http.StatusUnprocessableEntity, what, message.T("web.do.back")
	}
	if _, ok := message.Complaints(err); ok {
		return http.StatusUnprocessableEntity, message.T("web.input"), message.T("web.do.back")
	}
	return http.StatusInternalServerError, message.T("web.internal"), message.T("web.do.again")
}

// fail answers with the page of an error.
func (b *Bench) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := problem{frame: b.frame("problem", "web.problem.title")}
	p.Status, p.What, p.Do = statusOf(err)
	p.Complaints, _ = message.Complaints(err)
	var u *unreadable
	if errors.As(err, &u) {
		p.Broken = &broken{u.repair, u.name, string(u.doc)}
		p.Complaints, _ = message.Complaints(u.cause)
	}
	if p.Status >= 500 {
		b.Log.Error("failed", "method", r.Method, "path", r.URL.Path, "err", err)
	}
	b.show(w, p.Status, "problem", p)
}
