#!/bin/sh
# Brings the Debian packages that some tests use, where it may; else says what
# lacks. A test that needs a missing program skips and says so.
need() { # package, and the command that shows it is there
	package=$1
	shift
	"$@" >/dev/null 2>&1 && return
	if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
		echo "installing $package for the tests"
		{ apt-get install -y -qq "$package" || { apt-get update -qq && apt-get install -y -qq "$package"; }; } >/dev/null 2>&1 && return
	fi
	echo "$package is missing: tests that need it will be skipped"
}
scipy() { python3 -c 'import scipy' || /usr/bin/python3 -c 'import scipy'; }
ezdxf() { python3 -c 'import ezdxf' || /usr/bin/python3 -c 'import ezdxf'; }
need poppler-utils command -v pdftoppm
need hp2xx command -v hp2xx
need librsvg2-bin command -v rsvg-convert
need zbar-tools command -v zbarimg
need calculix-ccx command -v ccx
need python3-ezdxf ezdxf
need python3-scipy scipy
if [ -n "$PAGE" ]; then need chromium command -v chromium; fi
exit 0
