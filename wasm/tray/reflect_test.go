package tray_test

import (
	"fmt"
	"reflect"
	"time"

	"crownbench/wasm/tray/traytest"
)

var specimen = traytest.Specimen

// shares lists the parts of two values that lie at the same place in memory.
func shares(a, b any) []string {
	at := map[uintptr]string{}
	reach(reflect.ValueOf(a), "", func(p uintptr, where string) { at[p] = where })
	var common []string
	reach(reflect.ValueOf(b), "", func(p uintptr, where string) {
		if _, ok := at[p]; ok {
			common = append(common, where)
		}
	})
	return common
}

// reach calls f for every pointer, map and non-empty slice below v.
func reach(v reflect.Value, where string, f func(uintptr, string)) {
	if v.Type() == reflect.TypeFor[time.Time]() {
		return // shares its location with every other time, and never changes it
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			f(v.Pointer(), where)
			reach(v.Elem(), where, f)
		}
	case reflect.Map:
		if !v.IsNil() {
			f(v.Pointer(), where)
		}
		for _, k := range v.MapKeys() {
			reach(v.MapIndex(k), fmt.Sprintf("%s[%v]", where, k), f)
		}
	case reflect.Slice:
		if v.Len() > 0 {
			f(v.Pointer(), where)
		}
		for i := range v.Len() {
			reach(v.Index(i), fmt.Sprintf("%s[%d]", where, i), f)
		}
	case reflect.Array:
		for i := range v.Len() {
			reach(v.Index(i), fmt.Sprintf("%s[%d]", where, i), f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			reach(v.Field(i), where+"."+v.Type().Field(i).Name, f)
		}
	}
}

// fill sets every field below v to something that is not its zero value, so
// that a field which is added later is tried too.
func fill(v reflect.Value, n *int) {
	*n++
	if v.Type() == reflect.TypeFor[time.Time]() {
		v.Set(reflect.ValueOf(time.Unix(int64(*n), 5).UTC()))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("text ", *n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
	case reflect.Float64:
		v.SetFloat(float64(*n) + 0.25)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fill(v.Index(i), n)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), n)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range 2 {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			fill(key, n)
			fill(value, n)
			v.SetMapIndex(key, value)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), n)
		}
	default:
		panic("fill knows no " + v.Kind().String())
	}
}
