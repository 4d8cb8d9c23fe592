#!/bin/sh
# Makes the pictures of docs/pictures: the first page of the main demo's plan for
# the README, and those of docs/theory from the jobs that lie beside them.
# Run from the repository's root; needs go, and pdftoppm and pdftotext of
# poppler-utils.
set -eu

demo=demist-box
to=docs/pictures

for tool in pdftoppm pdftotext; do
	command -v $tool >/dev/null || { echo "$to: $tool is missing (Debian package poppler-utils)" >&2; exit 1; }
done

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
CGO_ENABLED=0 "${GO:-go}" build -trimpath -o "$work/laywright" ./cmd/laywright

# plan JOB FOLDER
plan() {
	"$work/laywright" plan "$1" --out "$work/$2" >"$work/log" 2>&1 ||
		{ cat "$work/log" >&2; echo "$1 does not plan: its pictures are not made" >&2; exit 1; }
}

# picture PDF PAGE NAME DPI MOST draws a page as NAME.png of at most MOST bytes; cut
# says to pdftoppm what part of it
cut=
picture() {
	pdftoppm -r "$4" $cut -f "$2" -singlefile -png "$1" "$work/page"
	size=$(wc -c <"$work/page.png")
	[ "$size" -le "$5" ] || { echo "$to/$3.png would have $size bytes, more than $5: lower its dpi in $0" >&2; exit 1; }
	cp "$work/page.png" "$to/$3.png"
	echo "$to/$3.png, $size bytes"
}

# page PDF WORDS prints the number of the first page with these words in its caption
page() {
	n=1
	while head=$(pdftotext -f $n -l $n "$1" - 2>/dev/null | head -n 1) && [ -n "$head" ]; do
		case $head in *"$2"*) echo $n; return ;; esac
		n=$((n + 1))
	done
	echo "$1 has no page with \"$2\" in its caption" >&2
	exit 1
}

# theory JOB WORDS NAME DPI [DOCUMENT] takes one picture of a job of docs/pictures
theory() {
	[ -d "$work/$1" ] || plan "$to/$1.job.yaml" "$1"
	pdf=$work/$1/documents/${5:-pictures}.pdf
	number=$(page "$pdf" "$2")
	picture "$pdf" "$number" "$3" "$4" 150000
}

mkdir -p $to
plan "examples/dunlin-$demo/dunlin-$demo.job.yaml" demo
picture "$work/demo/documents/plan.pdf" 1 $demo 90 300000
theory demo "What the heater does" heater 75 plan
picture "$work/demo/documents/mould.pdf" 2 mould-stack 70 150000
picture "$work/demo/documents/mould.pdf" 3 mould-stations 70 150000
picture "$work/demo/patterns/RF1.pdf" 1 dress-film 60 150000
theory dome "on the mould" dome 74
theory box-whole "on the mould" box-locks 80
theory box "on the mould" box-slit 80
theory box "order of work" box-work 80
theory box "laid flat" box-flat 80
theory box "Seams of all plies" box-seams 80
theory box "Thickness of the laid plies" box-thickness 80
theory radii "Radii of the mould" radii 80
theory duct "Draft along" duct-draft 80 mould
theory duct "hooks and grips" duct-hooks 80 mould
theory duct "pulled apart" duct-split 80 mould
theory hood "How far the wall moves" hood-moves 80
theory hood "Strength used" hood-used 80
theory hood "How thick the wall is" hood-wall 80
theory hood "Folds at" hood-folds 70
theory hood "Swings first" hood-swings 70
cut="-x 0 -y 0 -W 579 -H 380"
theory oven "Watched cure" oven-log 70 plan
cut="-x 0 -y 0 -W 579 -H 320"
theory lid "Which stack" lid-stack 70 plan
