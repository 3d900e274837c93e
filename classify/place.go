package classify

import (
	"strings"
	"sync"
)

// continents of the countries in the reference and of others with theropod
// faunas, as they lie today.
var continents = map[string][]string{
	"Africa":        {"Algeria", "Egypt", "Ethiopia", "Kenya", "Libya", "Madagascar", "Malawi", "Morocco", "Namibia", "Niger", "South Africa", "Sudan", "Tanzania", "Tunisia", "Zimbabwe"},
	"Asia":          {"China", "India", "Indonesia", "Japan", "Kazakhstan", "Kyrgyzstan", "Laos", "Malaysia", "Mongolia", "Pakistan", "Russia", "South Korea", "Tajikistan", "Thailand", "Uzbekistan"},
	"Australia":     {"Australia", "New Zealand"},
	"Europe":        {"Austria", "Belgium", "Bulgaria", "Denmark", "France", "Germany", "Hungary", "Italy", "Netherlands", "Poland", "Portugal", "Romania", "Spain", "Sweden", "Switzerland", "United Kingdom"},
	"North America": {"Canada", "Mexico", "United States"},
	"South America": {"Argentina", "Bolivia", "Brazil", "Chile", "Colombia", "Ecuador", "Peru", "Uruguay", "Venezuela"},
}

// continentOf looks a country up as written above and in small letters.
var continentOf = sync.OnceValue(func() map[string]string {
	of := make(map[string]string)
	for continent, countries := range continents {
		for _, c := range countries {
			of[c], of[strings.ToLower(c)] = continent, continent
		}
	}
	return of
})

// Continent returns the continent that a country lies on today, or "" when the
// country is not listed. Letter case does not matter.
func Continent(country string) string {
	if c, ok := continentOf()[country]; ok {
		return c
	}
	return continentOf()[strings.ToLower(strings.TrimSpace(country))]
}

// ages are the epochs of the reference as places on a scale; the mid-Cretaceous
// of the published table straddles the boundary of the formal two.
var ages = []struct {
	name     string
	from, to int
}{
	{"Late Triassic", 0, 0},
	{"Early Jurassic", 1, 1},
	{"Middle Jurassic", 2, 2},
	{"Late Jurassic", 3, 3},
	{"Early Cretaceous", 4, 5},
	{"mid-Cretaceous", 5, 6},
	{"Late Cretaceous", 6, 7},
	{"Late Jurassic - Early Cretaceous", 3, 5},
}

// age returns the range of an epoch on the scale of ages.
func age(epoch string) (from, to int, ok bool) {
	for _, a := range ages {
		if strings.EqualFold(a.name, strings.TrimSpace(epoch)) {
			return a.from, a.to, true
		}
	}
	return 0, 0, false
}

// overlap reports whether two epochs can be of the same age, and whether both
// are known to the scale.
func overlap(a, b string) (same, known bool) {
	af, at, ok := age(a)
	bf, bt, ok2 := age(b)
	return af <= bt && bf <= at, ok && ok2
}

// KnownEpochs returns the epochs that a query's age is compared in.
func KnownEpochs() []string {
	names := make([]string, len(ages))
	for i, a := range ages {
		names[i] = a.name
	}
	return names
}
