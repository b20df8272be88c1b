//go:build !unix

package study_test

import "os/exec"

func lend(string) error { return nil }

func asUser(cmd *exec.Cmd) *exec.Cmd { return cmd }
