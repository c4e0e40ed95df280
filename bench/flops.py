#!/usr/bin/python3
"""How many floating-point operations on doubles, and instructions of any kind, one piece of work takes: every instruction that Valgrind's callgrind saw run, looked up in the disassembly of the file that it is
in. The program is run with 1 and with 2 pieces; what stands between them is one. Sums, differences, products,
quotients and roots count as one operation for each double in the register; fused ones as two. Comparisons,
moves and whole numbers count as none. Prints "NAME_flops VALUE" and "NAME_instructions VALUE".

usage: flops.py NAME PROGRAM ARGUMENT...      (how many pieces comes as the last argument)
"""
import collections
import re
import subprocess
import sys
import tempfile

WORK = re.compile(r"^v?(addsub|add|sub|mul|div|sqrt)(pd|sd)$")
FUSED = re.compile(r"^vf(n?m)(add|sub|addsub)(132|213|231)(pd|sd)$")
LINE = re.compile(r"^\s*([0-9a-f]+):\t(?:rep\w* |lock )?(\S+)\s*(.*)$")


def lanes(mnemonic, operands):
    """Doubles in the register."""
    if mnemonic.endswith("sd"):
        return 1
    return 8 if "%zmm" in operands else 4 if "%ymm" in operands else 2


def flops_of(mnemonic, operands):
    """Operations of one instruction."""
    if WORK.match(mnemonic):
        return lanes(mnemonic, operands)
    return 2 * lanes(mnemonic, operands) if FUSED.match(mnemonic) else 0


def disassembly(path):
    """Operations at each address of a file that has any."""
    text = subprocess.run(["objdump", "-d", "--no-show-raw-insn", path], capture_output=True, text=True, check=True).stdout
    found = {}
    for line in text.splitlines():
        m = LINE.match(line)
        if m:
            n = flops_of(m[2], m[3].split("#")[0])
            if n:
                found[int(m[1], 16)] = n
    return found


def ran(program, arguments, pieces):
    """Per file and address: how often it ran."""
    with tempfile.NamedTemporaryFile() as out:
        subprocess.run(["valgrind", "--tool=callgrind", "--dump-instr=yes", "--dump-line=no", "--compress-strings=no",
                        "--compress-pos=no", "--cache-sim=no", f"--callgrind-out-file={out.name}", program, *arguments, str(pieces)],
                       check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        counts = collections.defaultdict(collections.Counter)
        where, skip = None, False
        with open(out.name, encoding="utf-8", errors="replace") as lines:
            for line in lines:
                if line.startswith("ob="):
                    where = line[3:].strip()
                elif line.startswith("calls="):
                    skip = True  # the next line is the cost of what was called, counted there
                elif line.startswith("0x"):
                    cells = line.split()
                    if not skip:
                        counts[where][int(cells[0], 16)] += int(cells[-1])
                    skip = False
    return counts


def main(name, program, *arguments):
    """Prints the operations of one piece."""
    total = 0
    one, two = ran(program, arguments, 1), ran(program, arguments, 2)
    instructions = 0
    for path, counts in two.items():
        of = disassembly(path) if path.startswith("/") else {}
        for address, n in counts.items():
            more = n - one[path][address]
            instructions += more
            total += more * of.get(address, 0)
    if total <= 0:
        sys.exit(f"flops: nothing was counted in {program}")
    print(f"{name}_flops {total}")
    print(f"{name}_instructions {instructions}")


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    main(*sys.argv[1:])
