#!/bin/sh
# Brings the Debian packages that some tests use, where it may; else says what
# lacks. A test that needs a missing program skips and says so.
need() { # program package
	command -v "$1" >/dev/null 2>&1 && return
	if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
		echo "installing $2 for the tests"
		{ apt-get install -y -qq "$2" || { apt-get update -qq && apt-get install -y -qq "$2"; }; } >/dev/null 2>&1 && return
	fi
	echo "$2 is missing: tests that need $1 will be skipped"
}
need pdftoppm poppler-utils
need hp2xx hp2xx
need rsvg-convert librsvg2-bin
need zbarimg zbar-tools
exit 0
