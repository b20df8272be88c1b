// Stovewright sizes, draws, builds and tests a small insulated-elbow wood stove
// for one measured pot. Without a command it opens the bench in the browser.
package main

import (
	"os"

	"stovewright/internal/cli"
)

func main() { os.Exit(cli.Main()) }
