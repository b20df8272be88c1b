package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"time"

	"github.com/skip2/go-qrcode"

	"stovewright/message"
	"stovewright/workshop"
)

// DefaultPort is where the bench is served when that port is free, so that a
// bookmark stays good.
const DefaultPort = 8417

// Options say where and how the bench is served.
type Options struct {
	Port    int       // 0 means DefaultPort, or any free one where that is taken
	Network bool      // answer to the local network too, with a key in the address
	Browser bool      // open a browser, if one can be
	Out     io.Writer // where the address is printed; nowhere where nil
}

// Serve serves the bench until the context ends, and then lets what is being
// answered come to its end. What is being typed becomes a revision when it has
// rested for a while.
func Serve(ctx context.Context, c Config, o Options) error {
	listener, err := listen(o)
	if err != nil {
		return err
	}
	address := "http://" + net.JoinHostPort("127.0.0.1", portOf(listener))
	if o.Network {
		c.Key = rand.Text()
		if ip := localAddress(); ip != "" {
			c.Hosts = append(c.Hosts, ip)
			address = "http://" + net.JoinHostPort(ip, portOf(listener))
		}
		address += "/?key=" + url.QueryEscape(c.Key)
	}
	b := New(c)
	if err := b.Begin(ctx); err != nil {
		listener.Close()
		return err
	}
	if o.Out != nil {
		b.announce(o, address)
	}
	if o.Browser {
		if err := openBrowser(address); err != nil {
			b.Log.Info("no browser opened", "err", err)
		}
	}
	return b.serve(ctx, listener)
}

// listen takes the port that was asked for, or any where none was.
func listen(o Options) (net.Listener, error) {
	host := "127.0.0.1"
	if o.Network {
		host = ""
	}
	port := o.Port
	if port == 0 {
		port = DefaultPort
	}
	listener, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(port)))
	if err != nil && o.Port == 0 {
		listener, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, &message.InputError{Field: "port", Value: strconv.Itoa(port), Reason: message.T("web.port-taken"), Try: "0"}
	}
	return listener, nil
}

func portOf(l net.Listener) string {
	_, port, _ := net.SplitHostPort(l.Addr().String())
	return port
}

// localAddress is this machine's address on the local network, "" without one.
func localAddress() string {
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return ""
	}
	for _, a := range addresses {
		if ip, ok := a.(*net.IPNet); ok && ip.IP.IsPrivate() && ip.IP.To4() != nil {
			return ip.IP.String()
		}
	}
	return ""
}

// announce prints the address, and for telephones a picture of it.
func (b *Bench) announce(o Options, address string) {
	fmt.Fprintln(o.Out, b.Catalogue.S("web.serving", "address", address))
	if !o.Network {
		return
	}
	if qr, err := qrcode.New(address, qrcode.Medium); err == nil {
		fmt.Fprint(o.Out, qr.ToSmallString(false))
	}
	fmt.Fprintln(o.Out, b.Catalogue.S("web.serving-network"))
}

// openBrowser asks the system to show an address.
func openBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	case "darwin":
		name = "open"
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return errors.New("web: no screen to open a browser on")
		}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait()
	return nil
}

// How long typing rests before it becomes a revision, and how often that is
// looked at.
const (
	restAfter = 20 * time.Second
	restEvery = 5 * time.Second
)

func (b *Bench) serve(ctx context.Context, listener net.Listener) error {
	server := &http.Server{
		Handler:           b,
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		ErrorLog:          log.New(logWriter{b.Log}, "", 0),
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	defer b.instruments.close()
	defer b.studies.close()
	every := time.NewTicker(restEvery)
	defer every.Stop()
	for {
		select {
		case err := <-failed:
			return err
		case <-every.C:
			if _, err := b.Workshop.Settle(ctx, restAfter); err != nil && !errors.As(err, new(*workshop.ConflictError)) {
				b.Log.Warn("typing not settled", "err", err)
			}
		case <-ctx.Done():
			patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
			defer cancel()
			return server.Shutdown(patience)
		}
	}
}

// logWriter leads the server's own complaints into the log.
type logWriter struct{ log *slog.Logger }

func (w logWriter) Write(p []byte) (int, error) {
	w.log.Warn("server", "said", string(p))
	return len(p), nil
}
