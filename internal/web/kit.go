package web

import (
	"net/http"
)

// kitPage is everything to buy, mould and cut for one stove.
type kitPage struct {
	frame
	Views []string
}

func (b *Bench) showKit(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	b.opened(ctx, d.ID)
	b.answer(w, r, "kit", kitPage{frame: b.frameOf(d, "kit"), Views: viewNames()})
	return nil
}
