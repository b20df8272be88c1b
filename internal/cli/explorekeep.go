package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"os"

	"stovewright/explore"
	"stovewright/message"
)

// kept is the file of a study under way.
type kept struct {
	Question string          `json:"question"` // hash of the study as it was asked for
	Whole    string          `json:"whole"`    // hash of what follows: a study that lost something is not gone on with
	Study    json.RawMessage `json:"study"`
}

// hashOf is a hash of some bytes, short enough to look at.
func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// resume takes up what the file of --keep holds of a study, if it is there.
func (a longArgs) resume(name string, s explore.Study) error {
	if a.Keep == "" {
		return nil
	}
	data, err := os.ReadFile(a.Keep)
	if errors.Is(err, fs.ErrNotExist) {
		return writable(a.Keep)
	}
	if err != nil {
		return err
	}
	if why := takeUp(data, name, s); why != "" {
		return &message.InputError{Field: "--keep", Value: a.Keep, Reason: message.T("cli.explore." + why), Try: example("--keep")}
	}
	return writable(a.Keep)
}

// takeUp reads a kept study, if it is that which is named; else it says why not.
func takeUp(data []byte, name string, s explore.Study) (why string) {
	var file kept
	err := json.Unmarshal(data, &file)
	switch {
	case err != nil || file.Question == "":
		return "keep-damaged"
	case file.Question != name:
		return "other-study"
	case file.Whole != hashOf(file.Study) || json.Unmarshal(file.Study, s) != nil:
		return "keep-damaged"
	}
	return ""
}

// save writes the study beside its file and puts it in its place whole.
func (a longArgs) save(name string, s explore.Study) error {
	if a.Keep == "" {
		return nil
	}
	study, err := json.Marshal(s)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := json.NewEncoder(&text).Encode(kept{name, hashOf(study), study}); err != nil {
		return err
	}
	beside := a.Keep + ".new"
	if err := save(beside, text.Bytes()); err != nil {
		return err
	}
	return os.Rename(beside, a.Keep)
}
