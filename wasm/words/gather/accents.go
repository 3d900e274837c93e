package main

import (
	"strings"
	"unicode/utf8"
)

// Accented writes a translation whose every letter of ours bears an accent and
// whose texts are a third longer.
func Accented(texts []Text) []byte {
	said := map[string]string{}
	for _, t := range texts {
		said[t.English] = accent(t.English)
	}
	return append(plainJSON(struct {
		Language string            `json:"language"`
		Texts    map[string]string `json:"texts"`
	}{"qps", said}), '\n')
}

var accents = strings.NewReplacer(
	"a", "à", "b", "ƀ", "c", "ç", "d", "ð", "e", "é", "f", "ƒ", "g", "ğ", "h", "ĥ", "i", "î", "j", "ĵ", "k", "ķ", "l", "ļ", "m", "ɱ",
	"n", "ñ", "o", "ö", "p", "þ", "q", "ɋ", "r", "ŕ", "s", "š", "t", "ţ", "u", "û", "v", "ṽ", "w", "ŵ", "x", "ẋ", "y", "ý", "z", "ž",
	"A", "À", "B", "Ɓ", "C", "Ç", "D", "Ð", "E", "É", "F", "Ƒ", "G", "Ğ", "H", "Ĥ", "I", "Î", "J", "Ĵ", "K", "Ķ", "L", "Ļ", "M", "Ṁ",
	"N", "Ñ", "O", "Ö", "P", "Þ", "Q", "Ǫ", "R", "Ŕ", "S", "Š", "T", "Ţ", "U", "Û", "V", "Ṽ", "W", "Ŵ", "X", "Ẋ", "Y", "Ý", "Z", "Ž")

func accent(s string) string {
	longer := strings.Repeat("é", utf8.RuneCountInString(s)/3)
	return accents.Replace(s) + longer
}
