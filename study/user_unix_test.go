//go:build unix

package study_test

import (
	"os"
	"os/exec"
	"syscall"
)

// PostgreSQL will not run as root; in a container the tests do. It then runs as
// the user that owns nothing.
const nobody = 65534

func lend(dir string) error {
	if os.Getuid() != 0 {
		return nil
	}
	return os.Chown(dir, nobody, nobody)
}

func asUser(cmd *exec.Cmd) *exec.Cmd {
	cmd.Dir = os.TempDir()
	if os.Getuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	return cmd
}
