#!/usr/bin/env bash
# Makes diffs of programs readable: hunk headers name the section, and a change inside a block shows the words that changed.
set -eu
cd "$(dirname "$0")/.."
git config diff.program.xfuncname '^(.*\((OPERATION|SITE|ROW)[^)]*\).*)$'
git config diff.program.wordRegex '[A-Za-z][-+]?[0-9.]+|\([^)]*\)|[^[:space:]]'
echo "program diffs are set up for this clone"
