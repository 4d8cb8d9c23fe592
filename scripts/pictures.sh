#!/bin/sh
# Makes the README's picture: the first page of the main demo's plan, as a PNG.
# Run from the repository's root; needs go, and pdftoppm of poppler-utils.
set -eu

demo=demist-box
to=docs/pictures/$demo.png
dpi=90
most=300000 # bytes

command -v pdftoppm >/dev/null || { echo "$to is not made: pdftoppm is missing (Debian package poppler-utils)" >&2; exit 1; }

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
CGO_ENABLED=0 "${GO:-go}" build -trimpath -o "$work/laywright" ./cmd/laywright
"$work/laywright" plan "examples/dunlin-$demo/dunlin-$demo.job.yaml" --out "$work/plan" >"$work/log" 2>&1 ||
	{ cat "$work/log" >&2; echo "$to is not made: the demo does not plan" >&2; exit 1; }

mkdir -p docs/pictures
pdftoppm -r "$dpi" -f 1 -singlefile -png "$work/plan/documents/plan.pdf" "$work/page"
size=$(wc -c <"$work/page.png")
[ "$size" -le "$most" ] || { echo "$to would have $size bytes, more than $most: lower dpi in $0" >&2; exit 1; }
cp "$work/page.png" "$to"
echo "$to, $size bytes"
