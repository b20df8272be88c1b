#!/bin/sh
# One coarse case against the file's fine solution; prints each part, fails where one is off.
# About half a minute on a free core. Needs Debian's packages openfoam and python3.
exec /usr/bin/python3 "$(dirname "$0")/run.py" --row "${1:-r1}" --coarse --check
