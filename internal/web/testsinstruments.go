package web

import (
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

// instrumentShelf holds the instruments that are read.
type instrumentShelf struct {
	mu   sync.Mutex
	list []*attached
}

// attached is an instrument with how it was asked for.
type attached struct {
	*serial.Instrument
	Port, Kind string
	Baud       int
}

// instrumentKinds are what an instrument measures, with the unit of a bare
// number.
var instrumentKinds = map[string]quantity.Unit{"mass": quantity.Gram, "kilograms": quantity.Kilogram, "temperature": quantity.Celsius}

func (s *instrumentShelf) all() []*attached {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.list)
}

// add puts an instrument on the shelf, in place of one on the same port.
func (s *instrumentShelf) add(a *attached) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.list = append(s.list, a)
}

// remove closes an instrument.
func (s *instrumentShelf) remove(port string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.list, func(a *attached) bool { return a.Port == port })
	if i < 0 {
		return false
	}
	s.list[i].Close()
	s.list = slices.Delete(s.list, i, i+1)
	return true
}

// close lets go of all ports.
func (s *instrumentShelf) close() {
	for _, a := range s.all() {
		s.remove(a.Port)
	}
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
	Silent bool    `json:"silent"` // it was unplugged
}

// stale is how old a reading may be and still be taken.
const stale = 3 * time.Second

// Fresh reports whether the reading may be taken.
func (l liveReading) Fresh() bool {
	return l.Text != "" && !l.Silent && l.Age < stale.Seconds()
}

func (b *Bench) readings() []liveReading {
	list := []liveReading{}
	for _, a := range b.instruments.all() {
		l := liveReading{Port: a.Port, Line: a.Line(), Silent: a.Err() != nil}
		if r, ok := a.Latest(); ok {
			l.Text, l.Stable, l.Age = r.Text, r.Stable, math.Round(10*time.Since(r.At).Seconds())/10
			l.Kind = map[quantity.Dimension]string{quantity.Mass: "mass", quantity.Temperature: "temperature"}[r.Value.Unit.Dimension]
		}
		list = append(list, l)
	}
	return list
}

func (b *Bench) instrumentsPage() instrumentsPage {
	p := instrumentsPage{frame: b.frame(testsStage, "web.tests.instruments.title"), Bauds: serial.Bauds, Kinds: []string{"mass", "kilograms", "temperature"}, Attached: b.readings()}
	var err error
	if p.Ports, err = b.Wiring.Ports(); err != nil {
		p.Failed = err.Error()
	}
	return p
}

func (b *Bench) showInstruments(w http.ResponseWriter, r *http.Request) error {
	p := b.instrumentsPage()
	p.Last = b.last(r.Context())
	b.show(w, http.StatusOK, "instruments", p)
	return nil
}

// setInstrument attaches an instrument or lets it go.
func (b *Bench) setInstrument(w http.ResponseWriter, r *http.Request) error {
	port := strings.TrimSpace(r.PostFormValue("port"))
	if r.PostFormValue("do") == "detach" {
		if !b.instruments.remove(port) {
			return missing()
		}
		http.Redirect(w, r, "/instruments", http.StatusSeeOther)
		return nil
	}
	if err := b.attach(port, r.PostFormValue("kind"), r.PostFormValue("baud"), r.PostFormValue("ask")); err != nil {
		complaints, ok := message.Complaints(err)
		if !ok {
			return err
		}
		p := b.instrumentsPage()
		p.Last, p.Port, p.Complaints = b.last(r.Context()), port, complaints
		b.show(w, http.StatusUnprocessableEntity, "instruments", p)
		return nil
	}
	http.Redirect(w, r, "/instruments", http.StatusSeeOther)
	return nil
}

func (b *Bench) attach(port, kind, baud, ask string) error {
	unit, ok := instrumentKinds[kind]
	speed, err := strconv.Atoi(baud)
	switch {
	case port == "":
		return &message.InputError{Field: "port", Reason: message.T("web.tests.instruments.no-port"), Try: "COM3"}
	case !ok || err != nil || !slices.Contains(serial.Bauds, speed):
		return missing()
	}
	s := serial.Settings{Baud: speed, Unit: unit, Ask: tidy(strings.TrimSpace(ask))}
	b.instruments.remove(port) // it is opened anew
	opened, err := b.Wiring.Open(port, s)
	if err != nil {
		return err
	}
	b.instruments.add(&attached{Instrument: serial.Watch(opened, s), Port: port, Kind: kind, Baud: speed})
	return nil
}

// showReadings gives the script what the instruments say.
func (b *Bench) showReadings(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(b.readings())
}
