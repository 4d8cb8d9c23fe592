#!/bin/sh
# Runs every fuzz target for FUZZTIME (a minute if not said).
set -e
for dir in $(grep -rl --include='*_test.go' '^func Fuzz' internal | xargs -n1 dirname | sort -u); do
	for target in $(grep -h -o '^func Fuzz[A-Za-z0-9]*' "$dir"/*_test.go | sed 's/func //'); do
		echo "== $dir $target"
		go test -run '^$' -fuzz "^$target\$" -fuzztime "${FUZZTIME:-60s}" -fuzzminimizetime 1s "./$dir"
	done
done
