#!/bin/sh
# Builds library.cpp into the file named. PREFIX is where the packages
# libnest2d-dev, libpolyclipping-dev, libnlopt-cxx-dev and libboost-dev lie.
set -e
prefix=${PREFIX:-/usr}
lib=$prefix/lib/$(g++ -print-multiarch)
g++ -std=c++17 -O3 -march=native -pthread -w \
	-DLIBNEST2D_GEOMETRIES_clipper -DLIBNEST2D_OPTIMIZER_nlopt -DLIBNEST2D_THREADING_std \
	-DBOOST_ALLOW_DEPRECATED_HEADERS \
	-isystem "$prefix/include" -o "${1:?name the program to build}" "$(dirname "$0")/library.cpp" \
	-L"$lib" -Wl,-rpath,"$lib" -lpolyclipping -lnlopt_cxx -lnlopt
