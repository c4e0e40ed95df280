#!/bin/sh
# The generators refuse what would be wrong in the program, and leave no half-written file.
# usage: test_tools.sh DIRECTORY_OF_THE_TOOLS [C compiler]
set -eu
tools=$1
cc=${2:-cc}
src=$(cd "$(dirname "$0")/../../src" && pwd)
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
cd "$dir"
failed=0

wrong() {
    echo "FAILED: $1"
    failed=1
}
refused() { # refused TOOL WORDS_SAID TEXT: with this input it must fail, say so and leave nothing
    printf '%b' "$3" >in.csv
    rm -f out.c
    if "$tools/$1" in.csv out.c 2>said; then wrong "$1 took: $3"; fi
    grep -q "$2" said || wrong "$1 should say '$2', said: $(cat said)"
    [ ! -e out.c ] || wrong "$1 left a file for: $3"
}
taken() { # taken TOOL TEXT
    printf '%b' "$2" >in.csv
    "$tools/$1" in.csv out.c || wrong "$1 refused: $2"
    "$cc" -std=c17 -Wall -Wextra -Wpedantic -Werror -I"$src" -c out.c || wrong "$1: does not compile: $2"
}

H='# table: t\n# source: s\n# rows: 2\n# key: a\n'
taken csv2c "${H}1,2.5\n2,-1e-3\n"
taken csv2c "${H}# columns: a,b\na,b\n1 , 2.5\r\n2,3\r\n"
grep -q '{1, 2.5}' out.c || wrong "csv2c lost a number"
refused csv2c 'key column does not increase' "${H}1,2\n1,3\n"
refused csv2c 'not a number' "${H}1,2\n2,nan\n"
refused csv2c 'not a number' "${H}1,2\n2,inf\n"
refused csv2c 'not a number' "${H}1,2\n2,0x3\n"
refused csv2c 'not a number' "${H}1,2\n2,\n"
refused csv2c 'not a number' "${H}a,b\n1,2\n"
refused csv2c 'number of columns' "${H}1,2\n2\n"
refused csv2c 'expected a comma' "${H}1,2\n2;3\n"
refused csv2c 'number of rows' "${H}1,2\n"
refused csv2c 'number of rows' "${H}1,2\n2,3\n3,4\n"
refused csv2c 'header needs' '# table: t\n# rows: 1\n1,2\n'
refused csv2c 'header needs' '# source: s\n# rows: 1\n1,2\n'
refused csv2c 'more than 16' "${H}1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17\n"

taken lang2c '# words\nkey,text\nb.c,plain {{x}\na,"with ""quotes"", {0} and {1}"\n'
grep -n . out.c | grep -q '"a", "with \\042quotes\\042, {0} and {1}"' || wrong "lang2c lost a text"
refused lang2c 'there twice: a' 'key,text\na,b\nb,c\na,d\n'
refused lang2c 'a brace must be' 'key,text\na,{x}\n'
refused lang2c 'a brace must be' 'key,text\na,half {0\n'
refused lang2c 'no text' 'key,text\na,\n'
refused lang2c 'a key is made of' 'key,text\nA b,c\n'
refused lang2c 'quote is not closed' 'key,text\na,"b\n'
refused lang2c 'first line must be' 'a,b\n'
refused lang2c 'end of the line' 'key,text\na,b,c\n'
refused lang2c 'no entries' 'key,text\n'
printf 'key,text\nb,of the second\n' >more.csv
printf 'key,text\nc,x\na,y\n' >in.csv
"$tools/lang2c" in.csv more.csv out.c || wrong "lang2c refused two files"
[ "$(grep -o '{"[abc]"' out.c | tr -d '{"\n')" = abc ] || wrong "lang2c does not sort two files as one"
printf 'key,text\n# a note\nc,x\n' >more.csv
rm out.c
if "$tools/lang2c" in.csv more.csv out.c 2>said; then wrong "lang2c took a key of two files"; fi
grep -q '\(in.csv:2\|more.csv:3\): this key is there twice: c' said || wrong "lang2c should name the file: $(cat said)"
[ ! -e out.c ] || wrong "lang2c left a file for a key of two files"

mkdir -p root/sub
printf 'a\0b' >root/sub/x.bin
: >root/empty
"$tools/embed" files out.c root sub/x.bin empty || wrong "embed failed"
grep -q '"sub/x.bin", f0, 3' out.c || wrong "embed: name or length"
grep -q '^97,0,98,0};' out.c || wrong "embed: bytes, or the NUL behind them"
"$cc" -std=c17 -Wall -Wextra -Wpedantic -Werror -I"$src" -c out.c || wrong "embed: does not compile"
rm out.c
if "$tools/embed" files out.c root gone 2>said; then wrong "embed took a file that is not there"; fi
grep -q 'root/gone' said || wrong "embed should name the file"
[ ! -e out.c ] || wrong "embed left a file"
rm -f out.c
printf 'sub/x.bin\nempty\n' >list
"$tools/embed" files out.c root @list || wrong "embed of a list failed"
grep -q '"sub/x.bin", f0, 3' out.c && grep -q '"empty", f1, 0' out.c || wrong "embed: a name of the list"
rm -f out.c
printf 'empty' >list # cut off
if "$tools/embed" files out.c root @list 2>said; then wrong "embed took half a list"; fi
grep -q 'list' said || wrong "embed should name the list"
[ ! -e out.c ] || wrong "embed left a file"
[ "$failed" -eq 0 ] && echo "tools: ok"
exit "$failed"
