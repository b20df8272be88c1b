package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"sync"

	"stovewright/fire"
	"stovewright/message"
)

// burning is a stove alight at one state of stove and fire, with what has been
// computed of it. The quick parts are there at once; bands and the heat in the
// body are computed when somebody asks.
type burning struct {
	key   string
	lit   fire.Lit
	c     fire.Coefficients
	model *fire.Model
	pot   float64 // K, outer face at the steady point

	complaints message.InputErrors // about what is asked of the fire
	err        error               // why there is no point
	point      fire.Point
	rings      []fire.Ring
	says       []message.Text
	run        fire.BoilRun
	runErr     error

	slow      sync.Mutex // held while one of the following is computed
	bands     *fire.Bands
	boilBands *fire.BoilBands
	soak      *fire.Soak
}

// Draws of the bands: for the steady point and for the boiling test.
const (
	steadyDraws = 1000
	boilDraws   = 100
	drawSeed    = 1
)

// fireShelf keeps the stoves that were lit last.
type fireShelf struct {
	sync.Mutex
	list []*burning // the last one first
}

const shelved = 8

// lightUp makes a fire in a design and computes its quick parts, once for each
// state.
func (b *Bench) lightUp(d *design, f fire.Form) (*burning, error) {
	doc, err := d.Form.Write()
	if err != nil {
		return nil, err
	}
	asked, err := f.Write()
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(append(append(doc, 0), asked...))
	key := hex.EncodeToString(sum[:8])
	b.fires.Lock()
	defer b.fires.Unlock()
	if i := slices.IndexFunc(b.fires.list, func(x *burning) bool { return x.key == key }); i >= 0 {
		return b.fires.list[i], nil
	}
	x := burn(fire.Light(d.Stove), f)
	x.key = key
	b.fires.list = append([]*burning{x}, b.fires.list...)
	if len(b.fires.list) > shelved {
		b.fires.list = b.fires.list[:shelved]
	}
	return x, nil
}

// burn lights a stove as it is asked and computes the quick parts.
func burn(lit fire.Lit, f fire.Form) *burning {
	x := &burning{}
	var err error
	x.lit, x.c, err = f.Read(lit)
	x.complaints, _ = message.Complaints(err)
	x.pot = x.lit.Air.PotFace()
	if x.model, x.err = x.lit.Model(); x.err != nil {
		return x
	}
	if x.point, x.err = x.model.Solve(x.c, x.lit.Task.Power, x.pot); x.err != nil {
		return x
	}
	x.rings = x.model.Rings(x.c, x.point)
	if x.says, x.err = x.model.Says(x.c, x.point); x.err != nil {
		return x
	}
	x.run, x.runErr = x.model.Boil(x.c, x.lit.Task, 0)
	return x
}

// needBands computes the bands of the steady point unless they are there.
func (x *burning) needBands(ctx context.Context) error {
	x.slow.Lock()
	defer x.slow.Unlock()
	if x.bands != nil {
		return nil
	}
	draws, err := x.model.NewDraws(x.c, steadyDraws, drawSeed)
	if err != nil {
		return err
	}
	bands, err := x.model.Bands(draws.While(ctx), x.lit.Task.Power, x.pot)
	if err == nil {
		x.bands = &bands
	}
	return err
}

// needBoilBands computes the bands of the boiling test unless they are there.
func (x *burning) needBoilBands(ctx context.Context) error {
	x.slow.Lock()
	defer x.slow.Unlock()
	if x.boilBands != nil {
		return nil
	}
	draws, err := x.model.NewDraws(x.c, boilDraws, drawSeed)
	if err != nil {
		return err
	}
	bands, err := x.model.BoilBands(draws.While(ctx), x.lit.Task, 0)
	if err == nil {
		x.boilBands = &bands
	}
	return err
}

// needSoak computes the heat in the body unless it is there.
func (x *burning) needSoak() error {
	x.slow.Lock()
	defer x.slow.Unlock()
	if x.soak != nil {
		return nil
	}
	soak, err := x.model.Soak(x.c, x.run, x.lit.Sectors, 0)
	if err == nil {
		x.soak = &soak
	}
	return err
}

// peek gives what has been computed so far.
func (x *burning) peek() (*fire.Bands, *fire.BoilBands, *fire.Soak) {
	if !x.slow.TryLock() { // being computed: not there yet
		return nil, nil, nil
	}
	defer x.slow.Unlock()
	return x.bands, x.boilBands, x.soak
}
