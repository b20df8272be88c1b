package form

import (
	"reflect"
	"regexp"
	"strconv"
	"strings"
)

// A slot is the place of one entry in a form. Its path is that of the file, with
// items of lists counted from one as people count them:
// "pot.circumference", "cold.pots[2].after".

var slotPart = regexp.MustCompile(`^([a-z][a-z0-9_]*)(?:\[([0-9]{1,3})\])?$`)

// MostItems keeps a list at a length that a page can show.
const MostItems = 50

// Slot finds an entry or a part of a form, which is a pointer to a struct; ok is
// false where there is none. Where it may grow, missing parts and items of lists
// come into being on the way.
func Slot(form any, path string, grow bool) (v reflect.Value, ok bool) {
	v = reflect.ValueOf(form).Elem()
	for _, part := range strings.Split(path, ".") {
		m := slotPart.FindStringSubmatch(part)
		if v.Kind() == reflect.Pointer {
			if v.IsNil() && grow {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem() // the zero value of a part that is not there
		}
		if m == nil || v.Kind() != reflect.Struct {
			return reflect.Value{}, false
		}
		if v, ok = fieldOf(v, m[1]); !ok {
			return reflect.Value{}, false
		}
		if m[2] == "" {
			continue
		}
		n, _ := strconv.Atoi(m[2])
		for grow && v.Kind() == reflect.Slice && v.Len() < n && n <= MostItems {
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
		}
		if v.Kind() != reflect.Slice || n < 1 || n > v.Len() {
			return reflect.Value{}, false
		}
		v = v.Index(n - 1)
	}
	return v, true
}

// Written gives the text of an entry as it stands; "" where nothing does.
func Written(form any, path string) string {
	v, ok := Slot(form, path, false)
	if !ok || v.Kind() != reflect.String {
		return ""
	}
	return v.String()
}

// Items is how many items a list of a form has; 0 where there is no such list.
func Items(form any, path string) int {
	if v, ok := Slot(form, path, false); ok && v.Kind() == reflect.Slice {
		return v.Len()
	}
	return 0
}
