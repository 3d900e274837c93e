#!/usr/bin/env bash
# Builds, serves, tests and measures Crownbench; ./build.sh help says how.
# It runs from any folder and needs Go; test and bench install from Debian what
# they lack besides (Chromium, Firefox, a C compiler, Python, R, LibreOffice …).
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

# The program must not change with every commit, or no browser and no cache
# would know it again; and a checkout owned by someone else must build.
export GOFLAGS="${GOFLAGS:-} -buildvcs=false"

say() { printf '\n== %s\n' "$*"; }

usage() {
  cat <<'TEXT'
./build.sh dist                    build the page into dist/, compressed for publishing
./build.sh quick                   the same without the slow compression
./build.sh serve [-addr HOST:PORT] build like that and serve on localhost:8017
./build.sh test                    format, vet, native tests, browser tests
./build.sh firefox                 the main job in Firefox
./build.sh fuzz [SECONDS]          every fuzzer in turn for that long each (600)
./build.sh bench                   benchmarks, what the page costs to transfer, fuzzers, validation
./build.sh help                    this text
TEXT
}

# dist QUALITY VERSION builds the page into dist/ with brotli at that quality.
# Two builds at once take turns.
dist() {
  mkdir -p cache
  (
    flock 9
    rm -rf cache/stage
    mkdir -p cache/stage
    program ./wasm "$1" "$2" cache/stage/crownbench.wasm
    cp "$(go env GOROOT)/lib/wasm/wasm_exec.js" wasm/sheet/sheet.css cache/stage/
    demo cache/stage/demo
    go run ./web/licences -to cache/stage/licences.txt ./wasm
    go run ./web/pack -quality "$1" -cache cache/packed -to dist web cache/stage
  ) 9>cache/lock
}

# empty builds a page with the engine and nothing else into cache/empty, like
# the program for publishing, to measure beside it.
empty() {
  (
    flock 9
    rm -rf cache/stage
    mkdir -p cache/stage
    program ./wasm/empty 11 development cache/stage/crownbench.wasm
    cp "$(go env GOROOT)/lib/wasm/wasm_exec.js" wasm/sheet/sheet.css cache/stage/
    go run ./web/pack -quality 11 -cache cache/packed-empty -to cache/empty web cache/stage
  ) 9>cache/lock
}

# program PACKAGE QUALITY VERSION FILE compiles for the browser. What is
# published, and so what is tested, carries no numbers of lines; what is worked
# on does.
program() {
  local flags
  go run ./web/slim -to cache/slim wasm/bench/*.kage
  mapfile -t flags < <(spare)
  if [ "$2" -eq 11 ] || [ -n "${AS_PUBLISHED:-}" ]; then
    go build -o cache/lineless ./web/lineless
    flags+=(-toolexec "'$PWD/cache/lineless'")
  fi
  GOOS=js GOARCH=wasm go build -modfile cache/slim/go.mod "${flags[@]}" -ldflags "-s -w -X main.version=$3" -trimpath -o "$4" "$1"
}

# spare prints the compiler's flags for the program in the browser: functions
# are copied into their callers only in the packages that compute or draw. In
# the rest the copies cost a visitor a tenth of the transfer and gain nothing
# that a person could notice.
spare() {
  echo "-gcflags=all=-l"
  local computing
  for computing in runtime internal/runtime/... internal/bytealg math math/bits sync/atomic unicode/utf8 slices sort cmp strings strconv internal/strconv internal/stringslite \
    gonum.org/v1/gonum/floats/... gonum.org/v1/gonum/internal/... gonum.org/v1/gonum/spatial/... \
    image/... golang.org/x/image/... compress/... hash/... crypto/internal/fips140/sha256 \
    crownbench/classify/... crownbench/morph/... crownbench/wasm/bench crownbench/wasm/intake crownbench/wasm/page/picture crownbench/wasm/photo; do
    echo "-gcflags=$computing="
  done
}

# version names what is published: the last tag and the commits since, or the
# day where there is no history.
version() {
  git describe --tags --always --dirty 2>/dev/null || date -u +%Y-%m-%d
}

# demo FOLDER puts the demo photographs there. They are drawn anew only when
# the command that draws them has changed.
demo() {
  go build -trimpath -o cache/toothdemo ./testdata/toothphoto/toothdemo
  local drawn
  drawn="cache/demo-$(sha256sum cache/toothdemo | cut -c1-16)"
  if [ ! -d "$drawn" ]; then
    rm -rf cache/demo-*
    cache/toothdemo -out "$drawn.part"
    mv "$drawn.part" "$drawn"
  fi
  cp -R "$drawn" "$1"
}

# go_folders lists what ./... means here: the go command finds nothing below a
# folder named testdata, so the packages there are named one by one.
go_folders() {
  echo ./...
  find . -path '*/testdata/*' -name '*.go' -not -path './cache/*' -not -path './dist/*' -printf '%h\n' | sort -u
}

# test_files lists package and file of every test, for the system that the
# environment names.
test_files() {
  go list -e -f '{{$p := .ImportPath}}{{range .TestGoFiles}}{{$p}} {{.}}{{"\n"}}{{end}}{{range .XTestGoFiles}}{{$p}} {{.}}{{"\n"}}{{end}}' ./... |
    sed '/^$/d' | sort
}

# browser_packages lists the packages with tests that only a browser runs.
browser_packages() {
  comm -23 <(GOOS=js GOARCH=wasm test_files) <(test_files) | cut -d' ' -f1 | sort -u
}

# bring COMMAND PACKAGE... installs Debian's packages unless the command is there.
bring() {
  if command -v "$1" >/dev/null; then return; fi
  shift
  local as_root=()
  if [ "$(id -u)" -ne 0 ]; then as_root=(sudo); fi
  "${as_root[@]}" apt-get update
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "$@"
}

passed=0
failed=0

# check NAME COMMAND... runs a check that is no test; it adds to the failures
# when it fails.
check() {
  local name=$1
  shift
  say "$name"
  if ! "$@"; then
    echo "FAILED: $name"
    failed=$((failed + 1))
  fi
}

# tests NAME COMMAND... runs tests that print events as `go test -json` does,
# and counts them. No test at all is a failure.
tests() {
  local name=$1 ok=0 bad=0
  shift
  say "$name"
  rm -f cache/counts
  "$@" | cache/tally -counts cache/counts || true
  if [ -f cache/counts ]; then read -r ok bad <cache/counts; fi
  if [ $((ok + bad)) -eq 0 ]; then
    echo "FAILED: $name: no test ran"
    bad=1
  fi
  passed=$((passed + ok))
  failed=$((failed + bad))
}

# fuzzers lists package and name of every fuzzer.
fuzzers() {
  local names=() word rest
  go_folders | xargs go test -list '^Fuzz' | while read -r word rest; do
    case $word in
    Fuzz*) names+=("$word") ;;
    ok)
      for name in "${names[@]}"; do echo "${rest%%[[:space:]]*} $name"; done
      names=()
      ;;
    *) names=() ;;
    esac
  done
}

# fuzz SECONDS lets every fuzzer look for inputs that break it, one after the
# other, each for that long at least. What breaks one is written to the package's
# testdata/fuzz, where every later test tries it again. Each is told a number of
# inputs, again and again, not a time: Go takes a time that ends in the middle of
# an input for a failure.
fuzz() {
  local package name inputs=400 end
  if [ "$1" -gt 10 ]; then inputs=5000; fi
  fuzzers | while read -r package name; do
    end=$((SECONDS + $1))
    while go test -json -run '^$' -fuzz "^$name\$" -fuzztime "${inputs}x" -timeout 0 "$package" && [ "$SECONDS" -lt "$end" ]; do :; done
  done
}

# keep_corpus copies the inputs with which the fuzzers reached new ground, the
# shortest few of each, to where every test tries them.
keep_corpus() {
  local package name found kept
  fuzzers | while read -r package name; do
    found="$(go env GOCACHE)/fuzz/$package/$name"
    kept="$(go list -f '{{.Dir}}' "$package")/testdata/fuzz/$name"
    if [ ! -d "$found" ]; then continue; fi
    mkdir -p "$kept"
    find "$found" -type f -size -4k -printf '%s %p\n' | sort -n | sed -n '1,24p' | cut -d' ' -f2- | xargs -r cp -n -t "$kept"
  done
}

formatted() {
  local odd
  odd=$(find . -name '*.go' -not -path './cache/*' -not -path './dist/*' -print0 | xargs -0 gofmt -l)
  if [ -n "$odd" ]; then
    printf 'not formatted, run gofmt -w on:\n%s\n' "$odd"
    return 1
  fi
}

# vet_wasm looks at what goes into the program. The other packages are native
# by nature: some of what they lean on does not compile for the browser.
vet_wasm() {
  local program
  program=$(GOOS=js GOARCH=wasm go list -deps ./wasm/...) || return 1
  grep '^crownbench/' <<<"$program" | GOOS=js GOARCH=wasm xargs go vet
}

# firefox_tests takes the built page through its main job in Firefox.
firefox_tests() {
  go test -json -count=1 -timeout 10m -tags firefox ./web/firefoxtest
}

bring_firefox() {
  bring firefox-esr firefox-esr libgl1-mesa-dri
  bring Xvfb xvfb
}

run_tests() {
  local folders in_browser
  # Without a C compiler the go command would leave out, without a word, the
  # tests against a library that is partly C.
  bring gcc gcc libc6-dev
  bring python3 python3
  mapfile -t folders < <(go_folders)
  mkdir -p cache
  go build -o cache/tally ./web/tally

  check "gofmt" formatted
  check "go vet" go vet "${folders[@]}"
  check "go vet, browser tests" go vet -tags browser ./web/browsertest
  check "go vet, tests in Firefox" go vet -tags firefox ./web/firefoxtest
  check "go vet, program" vet_wasm

  tests "native tests" go test -json "${folders[@]}"

  tests "fuzzers, a moment each" fuzz 0

  bring Rscript r-base-core
  bring soffice libreoffice-calc-nogui
  bring xmllint libxml2-utils
  bring jsonschema python3-jsonschema
  bring pdftotext poppler-utils
  check "our files, read by R, LibreOffice and others" testdata/tables/others.sh cache/hostile

  bring chromium chromium
  mapfile -t in_browser < <(browser_packages)
  if [ "${#in_browser[@]}" -gt 0 ]; then
    go build -o cache/inbrowser ./wasm/store/inbrowser
    tests "program's tests in the browser" env GOOS=js GOARCH=wasm \
      go test -json -exec "$PWD/cache/inbrowser" "${in_browser[@]}"
  fi

  say "page"
  # A process of its own: bash ignores errors within a function that is a
  # condition.
  if AS_PUBLISHED=yes ./build.sh quick; then
    tests "page's tests in the browser" go test -json -count=1 -timeout 36m -tags browser ./web/browsertest
    bring_firefox
    tests "main job in Firefox" firefox_tests
  else
    echo "FAILED: the page does not build, so no test of it ran"
    failed=$((failed + 1))
  fi

  echo
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ]
}

run_benchmarks() {
  local with
  bring gcc gcc libc6-dev
  mapfile -t with < <(go_folders | xargs go list -f '{{.Dir}}' | while read -r folder; do
    if grep -qs '^func Benchmark' "$folder"/*_test.go; then echo "$folder"; fi
  done)
  if [ "${#with[@]}" -gt 0 ]; then
    say "benchmarks"
    go test -run '^$' -bench . -benchmem -benchtime 300ms "${with[@]}"
  fi

  say "transfer"
  dist 11 development

  say "transfer of a page with the engine alone"
  empty

  if grep -qs '^func Benchmark' web/browsertest/*_test.go; then
    say "benchmarks in the browser"
    bring chromium chromium
    go test -run '^$' -bench . -skip LongUse -benchtime 3x -timeout 60m -tags browser ./web/browsertest
    go test -run '^$' -bench LongUse -benchtime 1x -timeout 60m -tags browser ./web/browsertest
  fi

  # What is found in photographs with known truth, as tables of errors by size
  # and ground. Denticles, scale bars and readings have theirs among the
  # benchmarks.
  say "outlines and landmarks"
  go run ./testdata/toothtrial/outlines
  say "base sections"
  go run ./testdata/toothtrial/outlines -basal -wide 400,800,1600,3000

  # How well the sorting does on teeth of animals it has not seen: learned anew
  # from the reference, and tested in folds split by individual.
  say "validation"
  go run ./classify/train -model cache/model.json -report cache/VALIDATION.md
  cat cache/VALIDATION.md
}

case "${1:-help}" in
dist)
  rm -rf dist/shots
  dist 11 "$(version)"
  ;;
quick) dist 5 development ;;
serve)
  shift
  dist 5 development
  go build -o cache/serve ./web/serve
  exec cache/serve -dir dist "$@"
  ;;
test) run_tests ;;
firefox)
  bring_firefox
  dist 5 development
  mkdir -p cache
  go build -o cache/tally ./web/tally
  tests "main job in Firefox" firefox_tests
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ]
  ;;
fuzz)
  mkdir -p cache
  go build -o cache/tally ./web/tally
  tests "fuzzers, ${2:-600} s each" fuzz "${2:-600}"
  keep_corpus
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ]
  ;;
bench)
  mkdir -p cache
  run_benchmarks | tee cache/bench.txt
  say "budgets"
  go run ./web/budget cache/bench.txt
  go build -o cache/tally ./web/tally
  tests "fuzzers, ten minutes each" fuzz 600
  [ "$failed" -eq 0 ]
  ;;
*) usage ;;
esac
