package web

import (
	"fmt"
	"reflect"

	"github.com/goccy/go-yaml"

	"stovewright/stove"
)

// encode writes the brief file of a form, such that reading it gives back every
// key that was typed. Where the plain file would not (a line that begins like
// YAML's own signs), every text is written between quotes.
func encode(f stove.Form) ([]byte, error) {
	doc, err := f.Write()
	if err != nil {
		return nil, err
	}
	if back, err := stove.ParseForm(doc); err == nil && reflect.DeepEqual(back, f) {
		return doc, nil
	}
	if doc, err = yaml.MarshalWithOptions(f, yaml.JSON()); err != nil {
		return nil, err
	}
	if back, err := stove.ParseForm(doc); err != nil || !reflect.DeepEqual(back, f) {
		return nil, fmt.Errorf("web: the brief does not come back from its file: %q, %w", doc, err)
	}
	return doc, nil
}
