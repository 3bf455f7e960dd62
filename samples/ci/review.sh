#!/bin/sh
# Reviews a change to the formula book as paint, for any CI.
#
#   sh review.sh BASE [HEAD]
#
# BASE is where the change began (a branch, a tag or a commit), HEAD where it ended. The book is the folder in BOOK (the
# folder at hand when nothing is said), pourbook is called as in POURBOOK, and what is written goes to the folder in OUT.
# It ends with 1 when the book has findings that are errors, or when an expectation stops holding or a standard was moved
# so that a formula fits (see FAIL_ON), with 2 when it could not run.
set -u

base=${1:?"name the commit that the change began at, for example: sh review.sh origin/main"}
head=${2:-HEAD}
book=${BOOK:-.}
out=${OUT:-pourbook-review}
pourbook=${POURBOOK:-pourbook}
fail_on=${FAIL_ON:-broken}

mkdir -p "$out" || exit 2

# A clone that is cut off does not hold the base: fetch what is missing before the recipe runs.
if ! git rev-parse --verify --quiet --end-of-options "$base^{commit}" >/dev/null; then
  echo "review.sh: there is no commit '$base' here; fetch more of the history (git fetch --unshallow)" >&2
  exit 2
fi

status=0

run() {
  "$@"
  code=$?
  if [ "$code" -gt "$status" ]; then status=$code; fi
}

# Three dots: what HEAD changed since it left BASE, not what BASE went on to change.
range="$base...$head"

run $pourbook review "$range" --book "$book" --format markdown --fail-on "$fail_on" >"$out/review.md"
run $pourbook review "$range" --book "$book" --format html >"$out/review.html"
run $pourbook review "$range" --book "$book" --format sarif >"$out/review.sarif"
run $pourbook review "$range" --book "$book" --format junit >"$out/review.xml"

# Findings are told; errors alone stop the change.
$pourbook check --book "$book" --format sarif >"$out/check.sarif"
code=$?
if [ "$code" -eq 2 ]; then status=2; fi
if grep -q '"level": "error"' "$out/check.sarif" && [ "$status" -eq 0 ]; then status=1; fi

cat "$out/review.md"
exit "$status"
