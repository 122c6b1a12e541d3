#!/usr/bin/env bash
# Makes a PDF from a list of pages, with HTML that a headless Chromium prints:
#   chromium.sh LIST FONTS OUT
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
node "$here/html.js" "$1" "$2" "$dir/pages.html"
chromium --headless --no-sandbox --disable-gpu --disable-background-networking --no-first-run \
  --user-data-dir="$dir/profile" --no-pdf-header-footer --print-to-pdf="$3" "file://$dir/pages.html" 2>"$dir/said" ||
  { cat "$dir/said" >&2; exit 1; }
