#!/usr/bin/env python3
"""Canonical JSON by the PyPI package `rfc8785`.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"documents": [{"name": TEXT, "text": JSON TEXT}, ...]}
Output: {"results": [{"name": TEXT, "canonical": TEXT}, ...]}

Each text is parsed by Python and written again by the package.
"""

import json
import sys

import rfc8785


def main():
    documents = json.load(sys.stdin)["documents"]
    results = [
        {"name": entry["name"], "canonical": rfc8785.dumps(json.loads(entry["text"])).decode()}
        for entry in documents
    ]
    json.dump({"results": results}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
