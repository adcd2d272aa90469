#!/usr/bin/env python3
"""JSON patches (RFC 6902) applied by the PyPI package `jsonpatch`.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"file": PATH} of a file with one JSON document a line: {"before": ANY, "patches": [PATCH, ...]}
Output: {"results": [[TEXT, ...], ...]}

Each patch is applied to its line's document by itself. A result is the SHA-256 of the patched document as canonical
JSON (RFC 8785), written by the package `rfc8785`.
"""

import hashlib
import json
import sys

import jsonpatch
import rfc8785


def patched(before, patch):
    after = jsonpatch.apply_patch(before, patch)
    return hashlib.sha256(rfc8785.dumps(after)).hexdigest()


def main():
    results = []
    with open(json.load(sys.stdin)["file"], encoding="utf-8") as lines:
        for line in lines:
            group = json.loads(line)
            results.append([patched(group["before"], patch) for patch in group["patches"]])
    json.dump({"results": results}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
