package workshop

import (
	"context"
	"database/sql"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/language"

	"stovewright/message"
)

// Settings that the program knows. A setting that is not set has the default
// of whoever asks.
const (
	Language = "language" // a BCP 47 tag: "en", "pt-MZ"
	Paper    = "paper"    // "A4" or "Letter"
	Units    = "units"    // "metric" or "inch"
)

var choices = map[string][]string{Paper: {"A4", "Letter"}, Units: {"metric", "inch"}}

var settingPattern = regexp.MustCompile(`^[a-z][a-z0-9.-]{0,63}$`)

// Settings gives every setting that is set.
func (f *File) Settings(ctx context.Context) (settings map[string]string, err error) {
	err = f.view(ctx, func(t *tx) error {
		settings, err = t.settings()
		return err
	})
	return settings, err
}

func (t *tx) settings() (map[string]string, error) {
	settings := make(map[string]string)
	err := t.each(func(rows *sql.Rows) error {
		var name, value string
		err := rows.Scan(&name, &value)
		settings[name] = value
		return err
	}, `SELECT name, value FROM setting`)
	return settings, err
}

// Set changes a setting; an empty value unsets it. The values of the settings
// named above are checked; names beyond those are the caller's own.
func (f *File) Set(ctx context.Context, name, value string) error {
	if err := checkSetting(name, value); err != nil {
		return err
	}
	return f.update(ctx, func(t *tx) error {
		if value == "" {
			return t.exec(`DELETE FROM setting WHERE name = ?`, name)
		}
		return t.exec(`INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)`, name, value)
	})
}

func checkSetting(name, value string) error {
	if !settingPattern.MatchString(name) {
		return &message.InputError{Field: "setting", Value: name, Reason: message.T("workshop.input.setting"), Try: Paper}
	}
	if allowed := choices[name]; value != "" && allowed != nil && !slices.Contains(allowed, value) {
		return &message.InputError{Field: name, Value: value, Reason: message.T("workshop.input.choice"),
			Allowed: message.T("workshop.input.choices", "list", strings.Join(allowed, ", ")), Try: allowed[0]}
	}
	if name == Language && value != "" {
		if _, err := language.Parse(value); err != nil {
			return &message.InputError{Field: name, Value: value, Reason: message.T("workshop.input.language"), Try: "en"}
		}
	}
	return checkTexts(name, value)
}
