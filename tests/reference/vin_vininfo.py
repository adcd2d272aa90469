#!/usr/bin/env python3
"""Check digits and model years of vehicle identification numbers by the PyPI package `vininfo`.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"numbers": [NUMBER, ...]}
Output: {"results": [{"right": BOOLEAN, "years": [YEAR, ...], "judges": BOOLEAN}, ...], "until": YEAR}

"judges" is false where the package holds that the maker uses no check digit, or another place for the year; it tells no model
year after "until".
"""

import json
import sys
from datetime import datetime, timezone

from vininfo import Vin


def judge(number):
    vin = Vin(number)
    assembler = vin.assembler
    usual = getattr(assembler, "uses_sae_checkdigit", True) and not getattr(assembler, "year_position", 0)
    return {"right": vin.verify_checksum(check_year=False), "years": vin.years, "judges": bool(usual)}


def main():
    numbers = json.load(sys.stdin)["numbers"]
    until = datetime.now(tz=timezone.utc).year + 1
    json.dump({"results": [judge(number) for number in numbers], "until": until}, sys.stdout)


main()
