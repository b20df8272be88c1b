package cli

import "runtime/debug"

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
