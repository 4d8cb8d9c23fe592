// Package likeness tells whether two values hold the same: it makes a short print of
// all that a value holds, so that a result may be kept for as long as what it was made
// from stays alike.
//
// Pointers are followed, floats count bit by bit, maps are taken in the order of their
// keys, functions and channels do not count. Values that go in a circle have no print:
// the program runs out of stack on them, so none may.
package likeness

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"reflect"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Print is the print of a value. Two values that differ have one print with the
// chance of a collision of SHA-256.
type Print [sha256.Size]byte

// Of returns the print of a value and of all it points to.
func Of(v any) Print {
	w := writer{to: sha256.New(), buffer: make([]byte, 0, chunk)}
	w.value(reflect.ValueOf(v))
	w.flush()
	return Print(w.to.Sum(nil))
}

// chunk is how many bytes are gathered before they are hashed.
const chunk = 1 << 16

type writer struct {
	to     hash.Hash
	buffer []byte
}

func (w *writer) flush() {
	w.to.Write(w.buffer)
	w.buffer = w.buffer[:0]
}

func (w *writer) word(x uint64) {
	if len(w.buffer)+8 > cap(w.buffer) {
		w.flush()
	}
	w.buffer = binary.LittleEndian.AppendUint64(w.buffer, x)
}

func (w *writer) float(x float64) { w.word(math.Float64bits(x)) }

func (w *writer) text(s string) {
	w.word(uint64(len(s)))
	w.flush()
	w.to.Write([]byte(s))
}

// value writes a value, with lengths and marks so that no two write the same.
func (w *writer) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Invalid:
		w.word(0)
	case reflect.Bool:
		w.word(map[bool]uint64{false: 0, true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.word(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		w.word(v.Uint())
	case reflect.Float32, reflect.Float64:
		w.float(v.Float())
	case reflect.Complex64, reflect.Complex128:
		w.float(real(v.Complex()))
		w.float(imag(v.Complex()))
	case reflect.String:
		w.text(v.String())
	case reflect.Pointer, reflect.Interface:
		w.behind(v)
	case reflect.Slice:
		w.slice(v)
	case reflect.Array:
		for i := range v.Len() {
			w.value(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			w.value(v.Field(i))
		}
	case reflect.Map:
		w.dictionary(v)
	case reflect.Func, reflect.Chan, reflect.UnsafePointer:
	}
}

func (w *writer) behind(v reflect.Value) {
	if v.IsNil() {
		w.word(0)
		return
	}
	w.word(1)
	if v.Kind() == reflect.Interface {
		w.text(v.Elem().Type().String())
	}
	w.value(v.Elem())
}

// slice writes the long kinds without asking after each element.
func (w *writer) slice(v reflect.Value) {
	if v.IsNil() {
		w.word(0)
		return
	}
	w.word(uint64(v.Len()) + 1)
	if v.CanInterface() {
		switch list := v.Interface().(type) {
		case []float64:
			for _, x := range list {
				w.float(x)
			}
			return
		case []r3.Vec:
			for _, x := range list {
				w.float(x.X)
				w.float(x.Y)
				w.float(x.Z)
			}
			return
		case []r2.Vec:
			for _, x := range list {
				w.float(x.X)
				w.float(x.Y)
			}
			return
		case [][3]int32:
			for _, x := range list {
				w.word(uint64(uint32(x[0])) | uint64(uint32(x[1]))<<32)
				w.word(uint64(uint32(x[2])))
			}
			return
		}
	}
	for i := range v.Len() {
		w.value(v.Index(i))
	}
}

func (w *writer) dictionary(v reflect.Value) {
	w.word(uint64(v.Len()))
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	for _, k := range keys {
		w.value(k)
		w.value(v.MapIndex(k))
	}
}
