#!/usr/bin/env python3
"""Checks the source tree against the rules in rules.py.

usage: check_tree.py ROOT [RULE ...]      (no rule: all of them)
Prints one line for each violation; status 1 when there is one, 2 for a wrong call.
"""

import sys

import rules


def main(arguments):
    if not arguments or any(name not in rules.RULES for name in arguments[1:]):
        print(__doc__, "rules:", ", ".join(rules.RULES), file=sys.stderr)
        return 2
    tree = rules.Tree(arguments[0])
    violations = 0
    for name in arguments[1:] or rules.RULES:
        for violation in rules.RULES[name](tree):
            print(f"[{name}] {violation}")
            violations += 1
    return 1 if violations else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
