package cli

import (
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"

	"stovewright/docs"
)

// version is the version that the build was made from: the module's, else the
// commit, else "devel".
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "stovewright devel"
	}
	v := info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && (v == "" || v == "(devel)") {
			v = s.Value
		}
	}
	if v == "" || v == "(devel)" {
		v = "devel"
	}
	return "stovewright " + v
}

// printLicences prints the licence of the program and of everything in it, each
// under the name of what it is for.
func printLicences(w io.Writer) {
	files := docs.Licences
	err := fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := files.ReadFile(path)
		fmt.Fprintf(w, "==== %s\n\n%s\n", path[len("licences/"):], text)
		return err
	})
	if err != nil {
		panic(err) // the files are part of the program
	}
}
