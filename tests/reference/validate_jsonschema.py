#!/usr/bin/env python3
"""JSON Schema (2020-12) validation by the PyPI package `jsonschema`, formats asserted.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"schema": SCHEMA, "documents": [{"name": TEXT, "document": ANY}, ...], "repeat": NUMBER}
Output: {"results": [{"name": TEXT, "valid": BOOLEAN, "error": TEXT or null}, ...],
         "seconds": NUMBER or null}

The schema itself is first checked against its meta-schema. With "repeat" (0 when absent) the first
document is validated that many times more, and "seconds" is the time of one.
"""

import json
import sys
import time

from jsonschema import Draft202012Validator


def main():
    question = json.load(sys.stdin)
    schema = question["schema"]
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)
    results = []
    for entry in question["documents"]:
        error = next(validator.iter_errors(entry["document"]), None)
        told = None if error is None else f"{error.json_path}: {error.message[:300]}"
        results.append({"name": entry["name"], "valid": error is None, "error": told})
    repeat, seconds = question.get("repeat", 0), None
    if repeat:
        document = question["documents"][0]["document"]
        began = time.perf_counter()
        for _ in range(repeat):
            if not validator.is_valid(document):
                raise SystemExit("the document to be timed is not valid")
        seconds = (time.perf_counter() - began) / repeat
    json.dump({"results": results, "seconds": seconds}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
