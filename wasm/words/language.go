package words

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits of a translation file and of the work on one text.
const (
	maxFile  = 4 << 20 // bytes of a file
	maxTexts = 20000
	maxText  = 20000   // bytes of a text that is looked at; longer ones stay English
	maxDeep  = 12      // holes within holes
	maxTries = 3000000 // templates compared for one text
	maxKept  = 4000    // texts whose saying is remembered
)

// Language says English texts in another language. Use it from one goroutine.
type Language struct {
	name   string
	whole  map[string]string
	forms  []form // with holes: the strong ones, then the others, the most literal text first
	spoken map[string]string
	tries  int // left for the text being said
}

// form is a template with holes: what stands around them, and its saying.
type form struct {
	around  []string // one more than there are holes
	holes   []int    // the number of each hole
	saying  template
	letters int // in around
	trust   trust
}

// template is a text cut at its holes.
type template struct {
	around []string
	holes  []int
}

// Read takes a translation file. The error is a sentence for who writes such
// files: no JSON of this form, no language, or a translation whose holes are
// not those of its template. Empty translations are ones still to be written.
func Read(file []byte) (*Language, error) {
	if len(file) > maxFile {
		return nil, fmt.Errorf("a translation is at most %d MB long", maxFile>>20)
	}
	var f struct {
		Language string            `json:"language"`
		Texts    map[string]string `json:"texts"`
	}
	if err := json.Unmarshal(file, &f); err != nil {
		return nil, fmt.Errorf("the translation is not in the form it should be: %w", err)
	}
	if f.Language == "" {
		return nil, errors.New("the translation does not name its language")
	}
	if len(f.Texts) > maxTexts {
		return nil, fmt.Errorf("a translation has at most %d texts", maxTexts)
	}
	l := &Language{name: f.Language, whole: map[string]string{}, spoken: map[string]string{}}
	for english, said := range f.Texts {
		if said == "" {
			continue
		}
		e, s := cut(english), cut(said)
		if !sameHoles(e.holes, s.holes) {
			return nil, fmt.Errorf("the translation of %q has other holes: %q", english, said)
		}
		if len(e.holes) == 0 {
			l.whole[english] = said
			continue
		}
		fm := form{around: e.around, holes: e.holes, saying: s, letters: letters(strings.Join(e.around, ""))}
		switch {
		case fm.letters >= strong:
			fm.trust = first
		case slices.ContainsFunc(joints, func(joint string) bool {
			return slices.ContainsFunc(e.around, func(a string) bool { return strings.Contains(a, joint) })
		}):
			fm.trust = beforeCutting
		default:
			fm.trust = last
		}
		if fm.letters > 0 {
			l.forms = append(l.forms, fm)
		}
	}
	slices.SortFunc(l.forms, func(a, b form) int {
		if a.trust != b.trust {
			return int(a.trust - b.trust)
		}
		if a.letters != b.letters {
			return b.letters - a.letters
		}
		if len(a.holes) != len(b.holes) {
			return len(a.holes) - len(b.holes)
		}
		return slices.Compare(a.around, b.around)
	})
	return l, nil
}

// Name is the language's tag as in <html lang>, such as "de" or "pt-BR".
func (l *Language) Name() string { return l.name }

// Say gives the text in the language, as far as its templates reach. A nil
// language leaves everything as it is.
func (l *Language) Say(text string) string {
	if l == nil || len(text) > maxText || letters(text) == 0 {
		return text
	}
	if said, ok := l.spoken[text]; ok {
		return said
	}
	l.tries = maxTries
	said := l.say(text, 0)
	if len(l.spoken) >= maxKept {
		clear(l.spoken)
	}
	l.spoken[text] = said
	return said
}

// strong is from how many letters of its own a template is trusted before all
// else.
const strong = 8

// trust is when a template is tried: at once, before the text is cut at its
// joints because it holds one itself, or after nothing else fitted.
type trust int

const (
	first trust = iota
	beforeCutting
	last
)

// joints are where sentences and list entries were put one after the other;
// of ". " the full stop stays with its sentence.
var joints = []string{"\n", ". ", "; ", " · ", " – ", " — ", ": ", " (", ", ", " / "}

func (l *Language) say(text string, deep int) string {
	if letters(text) == 0 || deep > maxDeep {
		return text
	}
	// Spaces, numbers and marks around the words are what they are in any
	// language; so are full stops that were put behind a template.
	body := strings.TrimLeftFunc(text, aside)
	before := text[:len(text)-len(body)]
	marked := strings.TrimLeftFunc(text, mark)
	peels := make([]peel, 0, 7)
	for _, p := range []peel{
		peelRight("", text, func(rune) bool { return false }), peelRight("", text, mark), peelRight("", text, aside),
		peelRight(text[:len(text)-len(marked)], marked, func(rune) bool { return false }), peelRight(text[:len(text)-len(marked)], marked, mark),
		peelRight(before, body, func(rune) bool { return false }), peelRight(before, body, mark), peelRight(before, body, aside),
	} {
		if !slices.Contains(peels, p) {
			peels = append(peels, p)
		}
	}
	for _, p := range peels {
		if said, ok := l.entire(p.core); ok {
			return p.before + said + p.after
		}
	}
	for _, p := range peels {
		if said, ok := l.known(p.core, deep, first); ok {
			return p.before + said + p.after
		}
	}
	// A name in the list may hold a joint itself: it is not to be cut.
	for _, joint := range joints {
		for from := 0; ; {
			i := strings.Index(body[from:], joint)
			if i < 0 {
				break
			}
			if i += from; i > 0 {
				if said, ok := l.entire(body[i+len(joint):]); ok {
					return l.say(before+body[:i], deep+1) + joint + said
				}
			}
			from = i + len(joint)
		}
	}
	for _, p := range peels {
		if said, ok := l.known(p.core, deep, beforeCutting); ok {
			return p.before + said + p.after
		}
	}
	for _, joint := range joints {
		i := strings.Index(body, joint)
		if i <= 0 {
			continue
		}
		if joint == ", " { // here too: the longest that is known
			for j := strings.LastIndex(body, joint); j > i; j = strings.LastIndex(body[:j], joint) {
				if said, ok := l.known(body[:j], deep, first); ok {
					return before + said + joint + l.say(body[j+len(joint):], deep)
				}
			}
			if said, ok := l.known(body, deep, last); ok {
				return before + said
			}
		}
		left, rest := before+body[:i], body[i+len(joint):]
		if joint == ". " {
			left, joint = left+".", " "
		}
		return l.say(left, deep+1) + joint + l.say(rest, deep)
	}
	for _, p := range peels {
		if said, ok := l.known(p.core, deep, last); ok {
			return p.before + said + p.after
		}
	}
	return text
}

// peel is a text with what may be taken off around it.
type peel struct{ before, core, after string }

func peelRight(before, body string, off func(rune) bool) peel {
	core := strings.TrimRightFunc(body, off)
	return peel{before, core, body[len(core):]}
}

// mark tells punctuation and spaces around a text.
func mark(r rune) bool { return aside(r) && !unicode.IsDigit(r) }

// aside tells what may stand around words without being one.
func aside(r rune) bool { return r != '"' && !unicode.IsLetter(r) }

// known says a text that one template of at most that rank explains. A text may begin with a capital where its template does not, and
// the other way round.
func (l *Language) known(text string, deep int, most trust) (string, bool) {
	if said, ok := l.entire(text); ok {
		return said, true
	}
	turned, back := turn(text)
	if deep >= maxDeep {
		return "", false
	}
	for i := range l.forms {
		f := &l.forms[i]
		if l.tries--; l.tries < 0 {
			break
		}
		if f.trust > most {
			break
		}
		filled, ok := f.match(text)
		mend := false
		if !ok && turned != text && f.around[0] != "" {
			filled, ok = f.match(turned)
			mend = ok
		}
		if ok {
			said := f.fill(filled, func(s string) string { return l.say(s, deep+1) })
			if mend {
				said = back(said)
			}
			return said, true
		}
	}
	return "", false
}

// entire says a text that stands in the list as it is, or with the other first
// letter.
func (l *Language) entire(text string) (string, bool) {
	if said, ok := l.whole[text]; ok {
		return said, true
	}
	turned, back := turn(text)
	said, ok := l.whole[turned]
	return back(said), ok
}

// turn gives a text the other first letter, and what turns it back.
func turn(text string) (turned string, back func(string) string) {
	if turned = lowerFirst(text); turned != text {
		return turned, upperFirst
	}
	return upperFirst(text), lowerFirst
}

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if !unicode.IsUpper(r) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if !unicode.IsLower(r) {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// match gives what stands in each hole, in the order of the template. Holes
// take as little as they can. A template with few letters of its own is not
// trusted to explain a long text.
func (f *form) match(text string) ([]string, bool) {
	last := len(f.around) - 1
	if !strings.HasPrefix(text, f.around[0]) {
		return nil, false
	}
	rest := text[len(f.around[0]):]
	if !strings.HasSuffix(rest, f.around[last]) {
		return nil, false
	}
	rest = rest[:len(rest)-len(f.around[last])]
	if f.trust != first && len(rest) > 16*len(f.holes)*f.letters {
		return nil, false
	}
	filled := make([]string, 0, len(f.holes))
	for _, a := range f.around[1:last] {
		i := 0
		if a != "" {
			if i = strings.Index(rest, a); i < 0 {
				return nil, false
			}
		}
		filled = append(filled, rest[:i])
		rest = rest[i+len(a):]
	}
	filled = append(filled, rest)
	// A word's beginning or end is no template's: "in {1}" is not in "index".
	if r, _ := utf8.DecodeLastRuneInString(f.around[0]); unicode.IsLetter(r) {
		if r, _ := utf8.DecodeRuneInString(filled[0]); len(filled[0]) > 1 && unicode.IsLetter(r) {
			return nil, false
		}
	}
	if r, _ := utf8.DecodeRuneInString(f.around[last]); unicode.IsLetter(r) {
		if r, _ := utf8.DecodeLastRuneInString(filled[len(filled)-1]); unicode.IsLetter(r) {
			return nil, false
		}
	}
	return filled, true
}

func (f *form) fill(filled []string, say func(string) string) string {
	said := make([]string, len(filled))
	var b strings.Builder
	b.WriteString(f.saying.around[0])
	for i, hole := range f.saying.holes {
		at := slices.Index(f.holes, hole)
		if said[at] == "" && filled[at] != "" {
			said[at] = say(filled[at])
		}
		b.WriteString(said[at])
		b.WriteString(f.saying.around[i+1])
	}
	return b.String()
}

// cut finds the holes {1} … {99} of a template. Other braces are text.
func cut(text string) template {
	var t template
	from := 0
	for i := 0; i < len(text); i++ {
		if text[i] != '{' {
			continue
		}
		n, j := 0, i+1
		for ; j < len(text) && j < i+3 && text[j] >= '0' && text[j] <= '9'; j++ {
			n = 10*n + int(text[j]-'0')
		}
		if n == 0 || j >= len(text) || text[j] != '}' {
			continue
		}
		t.around, t.holes = append(t.around, text[from:i]), append(t.holes, n)
		from, i = j+1, j
	}
	t.around = append(t.around, text[from:])
	return t
}

// sameHoles tells whether both name the same holes, however often and in
// whatever order.
func sameHoles(a, b []int) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(slices.Compact(a), slices.Compact(b))
}

func letters(s string) int {
	n := 0
	for _, r := range s {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}
