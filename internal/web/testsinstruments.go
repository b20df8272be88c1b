package web

import (
	"context"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"stovewright/internal/serial"
	"stovewright/message"
	"stovewright/quantity"
)

// Wiring is how the bench reaches the instruments of this machine; a test puts
// a simulator in its place.
type Wiring struct {
	Ports func() ([]string, error)
	Open  func(port string, s serial.Settings) (io.ReadWriteCloser, error)
}

// wires are the serial ports of this machine.
var wires = Wiring{serial.Ports, serial.Open}

// instrumentShelf holds the instruments that are read. Those that were attached
// are remembered in the workshop file, and opened again when the bench is started
// again or when they are plugged in again.
type instrumentShelf struct {
	mu     sync.Mutex
	open   []*attached
	known  []remembered
	recall bool                 // the workshop file was asked
	tried  map[string]time.Time // when a port was opened last, or was found missing
}

// remembered is an instrument as it was asked for.
type remembered struct {
	Port string `json:"port"`
	Kind string `json:"kind"`
	Baud int    `json:"baud"`
	Ask  string `json:"ask,omitempty"`
}

func (r remembered) settings() serial.Settings {
	return serial.Settings{Baud: r.Baud, Unit: instrumentKinds[r.Kind], Ask: r.Ask}
}

// attached is an instrument whose port is open.
type attached struct {
	*serial.Instrument
	Port string
}

// instrumentSetting remembers the instruments.
const instrumentSetting = "instruments.attached"

// tryAgain is how long a port that is missing is left alone.
const tryAgain = 3 * time.Second

// instrumentKinds are what an instrument measures, with the unit of a bare
// number.
var instrumentKinds = map[string]quantity.Unit{"mass": quantity.Gram, "kilograms": quantity.Kilogram, "temperature": quantity.Celsius}

// at is the instrument that is open at a port; nil for none.
func (s *instrumentShelf) at(port string) *attached {
	for _, a := range s.open {
		if a.Port == port {
			return a
		}
	}
	return nil
}

// let closes the instrument at a port.
func (s *instrumentShelf) let(port string) {
	if a := s.at(port); a != nil {
		a.Close()
		s.open = slices.DeleteFunc(s.open, func(o *attached) bool { return o == a })
	}
}

// close lets go of all ports, and remembers them.
func (s *instrumentShelf) close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.open) > 0 {
		s.let(s.open[0].Port)
	}
}

// reopen opens the instruments that are remembered and not open, or that fell
// silent because they were unplugged.
func (b *Bench) reopen(ctx context.Context) {
	s := &b.instruments
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.recall {
		settings, err := b.Workshop.Settings(ctx)
		if err != nil {
			return // asked again
		}
		s.recall, s.tried = true, map[string]time.Time{}
		if json.Unmarshal([]byte(settings[instrumentSetting]), &s.known) != nil {
			s.known = nil // a convenience: they can be attached again
		}
	}
	for _, k := range s.known {
		if a := s.at(k.Port); a != nil && a.Err() == nil || time.Since(s.tried[k.Port]) < tryAgain {
			continue
		}
		s.tried[k.Port] = time.Now()
		s.let(k.Port)
		if opened, err := b.Wiring.Open(k.Port, k.settings()); err == nil {
			s.open = append(s.open, &attached{serial.Watch(opened, k.settings()), k.Port})
		}
	}
}

// remember keeps an instrument in the workshop file in place of one at the same
// port, or forgets it where it has no kind; false where there is none to forget.
func (b *Bench) remember(ctx context.Context, r remembered) (bool, error) {
	s := &b.instruments
	had := len(s.known)
	s.known = slices.DeleteFunc(s.known, func(k remembered) bool { return k.Port == r.Port })
	if found := len(s.known) < had; r.Kind == "" && !found {
		return false, nil
	}
	if r.Kind != "" {
		s.known = append(s.known, r)
	}
	kept, err := json.Marshal(s.known)
	if err != nil {
		return false, err
	}
	return true, b.Workshop.Set(ctx, instrumentSetting, string(kept))
}

// instrumentsPage picks a port and shows what it says.
type instrumentsPage struct {
	frame
	Ports      []string
	Failed     string // why the ports cannot be listed
	Bauds      []int
	Kinds      []string
	Attached   []liveReading
	Port       string // as it was asked for
	Complaints message.InputErrors
}

// liveReading is what an instrument says now.
type liveReading struct {
	Port   string  `json:"port"`
	Kind   string  `json:"kind"` // mass or temperature, by its last reading
	Text   string  `json:"text"` // as it goes into a sheet; "" before the first
	Stable bool    `json:"stable"`
	Age    float64 `json:"age"` // s
	Line   string  `json:"line"`
	Silent bool    `json:"silent"` // it is not there, or was unplugged
}

// stale is how old a reading may be and still be taken.
const stale = 3 * time.Second

// Fresh reports whether the reading may be taken.
func (l liveReading) Fresh() bool {
	return l.Text != "" && !l.Silent && l.Age < stale.Seconds()
}

// readings are what the instruments say, those too that are gone.
func (b *Bench) readings(ctx context.Context) []liveReading {
	b.reopen(ctx)
	s := &b.instruments
	s.mu.Lock()
	defer s.mu.Unlock()
	list := []liveReading{}
	for _, k := range s.known {
		l := liveReading{Port: k.Port, Kind: dimensionKinds[instrumentKinds[k.Kind].Dimension], Silent: true}
		if a := s.at(k.Port); a != nil {
			l.Line, l.Silent = a.Line(), a.Err() != nil
			if r, ok := a.Latest(); ok {
				l.Text, l.Stable, l.Age = r.Text, r.Stable, math.Round(10*time.Since(r.At).Seconds())/10
				l.Kind = dimensionKinds[r.Value.Unit.Dimension]
			}
		}
		list = append(list, l)
	}
	return list
}

var dimensionKinds = map[quantity.Dimension]string{quantity.Mass: "mass", quantity.Temperature: "temperature"}

// gone are the ports of the instruments that are remembered and not there.
func (b *Bench) gone(ctx context.Context) (ports []string) {
	for _, l := range b.readings(ctx) {
		if l.Silent {
			ports = append(ports, l.Port)
		}
	}
	return ports
}

func (b *Bench) instrumentsPage(ctx context.Context) instrumentsPage {
	p := instrumentsPage{frame: b.frame(testsStage, "web.tests.instruments.title"), Bauds: serial.Bauds, Kinds: []string{"mass", "kilograms", "temperature"}, Attached: b.readings(ctx)}
	var err error
	if p.Ports, err = b.Wiring.Ports(); err != nil {
		p.Failed = err.Error()
	}
	return p
}

func (b *Bench) showInstruments(w http.ResponseWriter, r *http.Request) error {
	p := b.instrumentsPage(r.Context())
	p.Last = b.last(r.Context())
	b.show(w, http.StatusOK, "instruments", p)
	return nil
}

// setInstrument attaches an instrument or lets it go.
func (b *Bench) setInstrument(w http.ResponseWriter, r *http.Request) error {
	port := strings.TrimSpace(r.PostFormValue("port"))
	if r.PostFormValue("do") == "detach" {
		if err := b.detach(r.Context(), port); err != nil {
			return err
		}
		http.Redirect(w, r, "/instruments", http.StatusSeeOther)
		return nil
	}
	if err := b.attach(r.Context(), port, r.PostFormValue("kind"), r.PostFormValue("baud"), r.PostFormValue("ask")); err != nil {
		complaints, ok := message.Complaints(err)
		if !ok {
			return err
		}
		p := b.instrumentsPage(r.Context())
		p.Last, p.Port, p.Complaints = b.last(r.Context()), port, complaints
		b.show(w, http.StatusUnprocessableEntity, "instruments", p)
		return nil
	}
	http.Redirect(w, r, "/instruments", http.StatusSeeOther)
	return nil
}

func (b *Bench) attach(ctx context.Context, port, kind, baud, ask string) error {
	_, ok := instrumentKinds[kind]
	speed, err := strconv.Atoi(baud)
	switch {
	case port == "":
		return &message.InputError{Field: "port", Reason: message.T("web.tests.instruments.no-port"), Try: "COM3"}
	case !ok || err != nil || !slices.Contains(serial.Bauds, speed):
		return missing()
	}
	k := remembered{Port: port, Kind: kind, Baud: speed, Ask: tidy(strings.TrimSpace(ask))}
	b.reopen(ctx) // what is remembered already stays so
	s := &b.instruments
	s.mu.Lock()
	defer s.mu.Unlock()
	s.let(port) // it is opened anew
	opened, err := b.Wiring.Open(port, k.settings())
	if err != nil {
		return err
	}
	s.open = append(s.open, &attached{serial.Watch(opened, k.settings()), port})
	_, err = b.remember(ctx, k)
	return err
}

// detach lets an instrument go and forgets it.
func (b *Bench) detach(ctx context.Context, port string) error {
	b.reopen(ctx)
	s := &b.instruments
	s.mu.Lock()
	defer s.mu.Unlock()
	s.let(port)
	found, err := b.remember(ctx, remembered{Port: port})
	if err == nil && !found {
		return missing()
	}
	return err
}

// showReadings gives the script what the instruments say.
func (b *Bench) showReadings(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(b.readings(r.Context()))
}
