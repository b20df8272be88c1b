// Package serial reads scales and thermometers that send a line of text for
// each reading, as most with a serial or USB plug do: "ST,GS,+0571.2 g",
// "24.5 C". The line is read by what it says, not by the maker's name.
package serial

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"io/fs"
	"sync"
	"time"

	goserial "go.bug.st/serial"

	"stovewright/message"
	"stovewright/quantity"
)

// Settings are how a port is opened and what its lines mean.
type Settings struct {
	Baud int           // bits a second; 9600 where 0
	Unit quantity.Unit // of a number without a unit
	Ask  string        // sent twice a second to an instrument that waits to be asked; "" for none
}

// Bauds are the usual speeds.
var Bauds = []int{9600, 1200, 2400, 4800, 19200, 38400, 57600, 115200}

// Ports lists the serial ports of this machine by name.
func Ports() ([]string, error) { return goserial.GetPortsList() }

// Open opens a port: eight bits, no parity, one stop bit. The error is a
// *message.InputError where the port is not there, taken or not allowed.
func Open(port string, s Settings) (io.ReadWriteCloser, error) {
	if s.Baud == 0 {
		s.Baud = Bauds[0]
	}
	p, err := goserial.Open(port, &goserial.Mode{BaudRate: s.Baud, DataBits: 8, Parity: goserial.NoParity, StopBits: goserial.OneStopBit})
	if err == nil {
		return p, nil
	}
	e := &message.InputError{Field: "port", Value: port, Reason: message.T("serial.failed", "detail", err.Error())}
	var known *goserial.PortError
	code := goserial.PortErrorCode(-1)
	if errors.As(err, &known) {
		code = known.Code()
	}
	switch {
	case code == goserial.PortBusy:
		e.Reason = message.T("serial.busy")
	case code == goserial.PortNotFound, code == goserial.InvalidSerialPort, errors.Is(err, fs.ErrNotExist):
		e.Reason = message.T("serial.missing")
	case code == goserial.PermissionDenied, errors.Is(err, fs.ErrPermission):
		e.Reason = message.T("serial.forbidden")
	}
	if list, err := Ports(); err == nil && len(list) > 0 {
		e.Try = list[0]
	}
	return nil, e
}

// Instrument is an open port whose lines are being read. It may be used by
// several goroutines at once.
type Instrument struct {
	port io.ReadWriteCloser

	mu     sync.Mutex
	latest Reading
	seen   bool
	line   string // the last line, readable or not
	failed error
	done   chan struct{}
}

// Watch reads the lines of a port until it is closed.
func Watch(port io.ReadWriteCloser, s Settings) *Instrument {
	i := &Instrument{port: port, done: make(chan struct{})}
	go i.read(s.Unit)
	if s.Ask != "" {
		go i.ask([]byte(s.Ask + "\r\n"))
	}
	return i
}

// Latest is the last reading that could be read; false before the first.
func (i *Instrument) Latest() (Reading, bool) {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.latest, i.seen
}

// Line is the last line as it came, for whoever wonders why nothing is read.
func (i *Instrument) Line() string {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.line
}

// Err says why the instrument fell silent; nil while it is being read.
func (i *Instrument) Err() error {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.failed
}

// Close closes the port and ends the reading.
func (i *Instrument) Close() error {
	err := i.port.Close()
	<-i.done
	return err
}

func (i *Instrument) read(fallback quantity.Unit) {
	defer close(i.done)
	lines := bufio.NewScanner(i.port)
	lines.Buffer(make([]byte, 0, longest), longest)
	lines.Split(splitLine)
	for lines.Scan() {
		text := lines.Text()
		if text == "" {
			continue
		}
		r, ok := Parse(text, fallback)
		i.mu.Lock()
		i.line = clip(text)
		if ok {
			r.At = time.Now()
			i.latest, i.seen = r, true
		}
		i.mu.Unlock()
	}
	i.mu.Lock()
	defer i.mu.Unlock()
	if i.failed = lines.Err(); i.failed == nil {
		i.failed = io.EOF
	}
}

const (
	longest   = 512 // bytes; a reading is a short line, and noise has no end
	askEvery  = 500 * time.Millisecond
	lineShown = 80
)

// splitLine ends a line at either of the signs that instruments use, and cuts
// noise that never ends.
func splitLine(data []byte, atEOF bool) (advance int, token []byte, err error) {
	if n := bytes.IndexAny(data, "\r\n"); n >= 0 {
		return n + 1, data[:n], nil
	}
	if len(data) >= longest-1 {
		return len(data), nil, nil
	}
	if atEOF && len(data) > 0 {
		return len(data), data, nil
	}
	return 0, nil, nil
}

// ask sends the request until the port is closed.
func (i *Instrument) ask(request []byte) {
	every := time.NewTicker(askEvery)
	defer every.Stop()
	for {
		select {
		case <-i.done:
			return
		case <-every.C:
			if _, err := i.port.Write(request); err != nil {
				return
			}
		}
	}
}

func clip(s string) string { return string([]rune(s)[:min(len([]rune(s)), lineShown)]) }
