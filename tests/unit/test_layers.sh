#!/bin/sh
# The layer check must be able to fail: one bad tree for each of its rules, and a good one.
# usage: test_layers.sh tools/check_layers.sh [C compiler]
set -eu
check=$1
cc=${2:-cc}
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
failed=0

fresh() { # a small tree that keeps every rule
    rm -rf "$dir/t"
    for d in base lock num core/plan wire mill card app http cli; do mkdir -p "$dir/t/src/$d"; done
    echo '#include "cli/x.h"' >"$dir/t/src/main.c"
    printf '#include <math.h>\n#include "base/x.h"\n#include "num/x.h"\n' >"$dir/t/src/core/plan/x.c"
    printf '#include <sodium.h>\n#include "base/x.h"\n' >"$dir/t/src/lock/x.c"
    printf '#include <sqlite3.h>\n#include "lock/x.h"\n#include "core/plan/x.h"\n' >"$dir/t/src/mill/x.c"
    printf '#include <jansson.h>\n#include "core/plan/x.h"\n' >"$dir/t/src/wire/x.c"
    printf '#include <cairo.h>\n#include <pango/pangocairo.h>\n#include <qrencode.h>\n' >"$dir/t/src/card/x.c"
    printf '#include "wire/x.h"\n#include "mill/x.h"\n#include "card/x.h"\n' >"$dir/t/src/app/x.c"
    printf '#include <microhttpd.h>\n#include "app/x.h"\n' >"$dir/t/src/http/x.c"
    printf '#include "http/x.h"\n#include "app/x.h"\n' >"$dir/t/src/cli/x.c"
}

expect() { # expect WANTED_STATUS WORDS [LIBRARY]
    set +e
    said=$("$check" "$dir/t" ${3:+"$3"} 2>&1)
    got=$?
    set -e
    if [ "$got" -ne "$1" ]; then
        echo "FAILED: $2: status $got, wanted $1"
        echo "$said"
        failed=1
    fi
}

add() { # add FILE LINE WORDS: one line too many must be noticed
    fresh
    echo "$2" >>"$dir/t/src/$1"
    expect 1 "$3"
}

fresh
expect 0 "a good tree"
add base/x.c '#include "core/plan/x.h"' "base reaches up to core"
add num/x.c '#include "core/plan/x.h"' "num reaches up to core"
add lock/x.c '#include "num/x.h"' "lock reaches up to num"
add core/plan/x.c '#include "lock/x.h"' "core reaches sideways to lock"
add http/x.c '#include "lock/x.h"' "http reaches past app to lock"
add app/x.c '#include <sodium.h>' "sodium.h outside lock"
add core/plan/x.c '#include "mill/x.h"' "core reaches up to mill"
add core/plan/x.h '  #  include "wire/x.h"' "core reaches up to wire from a header, with blanks"
add mill/x.c '#include "wire/x.h"' "mill reaches sideways to wire"
add card/x.c '#include "mill/x.h"' "card reaches sideways to mill"
add wire/x.c '#include "app/x.h"' "wire reaches up to app"
add app/x.c '#include "http/x.h"' "app reaches up to http"
add http/x.c '#include "mill/x.h"' "http reaches past app"
add cli/x.c '#include "wire/x.h"' "cli reaches past app"
add main.c '#include "app/x.h"' "main reaches past cli"
add core/plan/x.c '#include "x.h"' "an include without its folder"
add app/x.c '#include <sqlite3.h>' "sqlite3.h outside mill"
add http/x.c '#include <jansson.h>' "jansson.h outside wire"
add cli/x.c '#include <microhttpd.h>' "microhttpd.h outside http"
add http/y.c '#include <microhttpd.h>' "microhttpd.h in two files"
add app/x.c '#include <zlib.h>' "zlib.h outside http"
add app/x.c '#include <pango/pangocairo.h>' "pango outside card"
add core/plan/x.c '#include <time.h>' "a clock in the core"
fresh
mkdir "$dir/t/src/extra"
expect 1 "a folder without a place"

library() { # library C_TEXT: an archive of one object
    printf '%s\n' "$1" >"$dir/o.c"
    "$cc" -std=c17 -w -fno-builtin -c "$dir/o.c" -o "$dir/o.o"
    rm -f "$dir/o.a"
    ar rc "$dir/o.a" "$dir/o.o"
}
fresh
library 'double sin(double); double f(double x) { return sin(x); }'
expect 0 "a pure library" "$dir/o.a"
for symbol in malloc fopen getenv time setlocale strtod sqlite3_open MHD_start_daemon printf pthread_create; do
    library "extern char ${symbol}(); void *p(void) { return (void *)&$symbol; }"
    expect 1 "the core links to $symbol" "$dir/o.a"
done
expect 1 "a library that is not there" "$dir/none.a"
library 'int mdr_twice(void) { return 1; }'
cp "$dir/o.a" "$dir/libmdr_core.a"
expect 0 "each name once" "$dir/libmdr_core.a"
cp "$dir/o.a" "$dir/libmdr_card.a"
expect 1 "two libraries define one name" "$dir/libmdr_core.a"
[ "$failed" -eq 0 ] && echo "layer check: every rule can fail"
exit "$failed"
