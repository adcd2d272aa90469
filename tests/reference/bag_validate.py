#!/usr/bin/env python3
"""Unpacks bundles with Python's `zipfile` and validates the bags in them with the PyPI package `bagit`.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"bundles": [{"bundle": PATH, "into": EMPTY FOLDER}, ...]}
Output: {"results": [{"bundle": PATH, "folder": PATH of the bag, "valid": BOOLEAN,
                      "error": TEXT or null, "files": [NAME, ...],
                      "accepted_changed": [NAME, ...]}, ...]}

After the bag has been validated, one byte in the middle of each of its files is changed, one file at
a time, and the bag is validated again: "accepted_changed" names the files whose change went unseen.
"""

import json
import logging
import sys
import zipfile
from pathlib import Path

import bagit


def refusal(folder):
    """Why bagit refuses a bag, or None. A bag that cannot even be opened is refused as well."""
    try:
        bagit.Bag(str(folder)).validate()
    except (bagit.BagError, UnicodeDecodeError) as error:
        return str(error)
    return None


def examine(bundle, into):
    with zipfile.ZipFile(bundle) as archive:
        if (broken := archive.testzip()) is not None:
            raise SystemExit(f"{bundle}: {broken} is damaged")
        archive.extractall(into)
    (folder,) = Path(into).iterdir()
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    error = refusal(folder)
    unseen = []
    for path in files:
        good = path.read_bytes()
        middle = len(good) // 2
        path.write_bytes(good[:middle] + bytes([good[middle] ^ 1]) + good[middle + 1 :])
        if refusal(folder) is None:
            unseen.append(str(path.relative_to(folder)))
        path.write_bytes(good)
    return {
        "bundle": bundle,
        "folder": str(folder),
        "valid": error is None,
        "error": error,
        "files": [str(path.relative_to(folder)) for path in files],
        "accepted_changed": unseen,
    }


def main():
    # bagit reports each refusal in the log as well; here refusals are wanted.
    logging.disable(logging.CRITICAL)
    bundles = json.load(sys.stdin)["bundles"]
    results = [examine(entry["bundle"], entry["into"]) for entry in bundles]
    json.dump({"results": results}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
