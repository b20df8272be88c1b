package serial

import (
	"fmt"
	"os"
	"testing"

	"golang.org/x/sys/unix"

	"stovewright/internal/outside"
)

// The whole way over a pseudo-terminal, which the system takes for a serial port.
func TestOverAPort(t *testing.T) {
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		outside.Lacks(t, "a pseudo-terminal")
	}
	defer master.Close()
	if err := unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	n, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	if err != nil {
		t.Fatal(err)
	}
	port, err := Open(fmt.Sprintf("/dev/pts/%d", n), Settings{Baud: 9600})
	if err != nil {
		t.Fatal(err)
	}
	i := Watch(port, Settings{})
	fmt.Fprint(master, "ST,GS,+ 1482.0 g\r\n")
	until(t, "the reading", func() bool { r, ok := i.Latest(); return ok && r.Text == "1482.0 g" })
	if err := i.Close(); err != nil {
		t.Error(err)
	}
}
