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
	refuse := func(why string) error {
		return &message.InputError{Field: "--keep", Value: a.Keep, Reason: message.T(why), Try: example("--keep")}
	}
	var file kept
	if err := json.Unmarshal(data, &file); err != nil || file.Question == "" {
		return refuse("cli.explore.keep-damaged")
	}
	if file.Question != name {
		return refuse("cli.explore.other-study")
	}
	if file.Whole != hashOf(file.Study) || json.Unmarshal(file.Study, s) != nil {
		return refuse("cli.explore.keep-damaged")
	}
	return writable(a.Keep)
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
