package cli_test

import (
	"context"
	"fmt"
	"os"

	"stovewright/internal/cli"
	"stovewright/message"
)

func ExampleProgram_Run() {
	p := cli.Program{Args: []string{"size", "none.yaml"}, Out: os.Stdout, Err: os.Stdout, Catalogue: message.English()}
	fmt.Println("exit code", p.Run(context.Background()))
	// Output:
	// none.yaml is not there; check the name
	// exit code 3
}
