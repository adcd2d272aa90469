#!/usr/bin/env python3
"""Opens, verifies and reads bundles with nothing but Python's standard library, `jsonschema` and OpenSSH's `ssh-keygen`.

It shares no code with the project, and is an example for whoever reads bundles in another program.

Reads one JSON document on standard input and prints one on standard output.

Input:  {"schema": PATH of profile.schema.json, "bundles": [{"bundle": PATH, "allowed_signers": PATH}, ...]}
Output: {"results": [{"bundle": PATH, "error": TEXT or null, "id": ID, "release": NUMBER, "maker": NAME, "model": NAME,
                      "signed_by": [NAME, ...]}, ...]}
"""

import hashlib
import json
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import jsonschema

NAMESPACE = "release@chockstone"
TAG_MANIFEST = "tagmanifest-sha256.txt"
MANIFEST = "manifest-sha256.txt"


class Refused(Exception):
    """Why a bundle is not to be used."""


def unpack(path):
    """The files of the one bag in a bundle, by name."""
    try:
        with zipfile.ZipFile(path) as archive:
            names = archive.namelist()
            tops = {name.split("/", 1)[0] for name in names}
            if len(tops) != 1 or len(set(names)) != len(names):
                raise Refused("it is not one folder with each file once")
            (top,) = tops
            return {name[len(top) + 1 :]: archive.read(name) for name in names}
    except zipfile.BadZipFile as error:
        raise Refused(f"the archive is damaged: {error}") from error


def check_hashes(files, manifest, wanted):
    """Every wanted file is listed with its hash, and every listed file is there."""
    if manifest not in files:
        raise Refused(f"{manifest} is missing")
    listed = {}
    for line in files[manifest].decode().splitlines():
        digest, name = line.split(maxsplit=1)
        listed[name] = digest
    if set(listed) != set(wanted):
        raise Refused(f"{manifest} lists other files than there are: {sorted(set(listed) ^ set(wanted))}")
    for name, digest in listed.items():
        if hashlib.sha256(files[name]).hexdigest() != digest:
            raise Refused(f"{name} was changed")


def signers(files, allowed):
    """Who signed the bundle; every signature must be an allowed signer's."""
    names = [name for name in files if name.startswith(TAG_MANIFEST + ".") and name.endswith(".sig")]
    if not names:
        raise Refused("nobody signed it")
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for name in names:
            signature = Path(folder, "signature")
            signature.write_bytes(files[name])
            keygen = ["ssh-keygen", "-Y"]
            files_of_both = ["-f", allowed, "-s", str(signature)]
            told = subprocess.run([*keygen, "find-principals", *files_of_both], capture_output=True, text=True)
            who = told.stdout.splitlines()[0].split(",")[0] if told.stdout else ""
            verify = [*keygen, "verify", *files_of_both, "-I", who, "-n", NAMESPACE]
            verified = subprocess.run(verify, input=files[TAG_MANIFEST], capture_output=True)
            if verified.returncode != 0:
                raise Refused(f"{name} is not accepted: {verified.stderr.decode() or verified.stdout.decode()}")
            found.append(who)
    return found, names


def read(path, allowed, schema):
    """The profile in a bundle and who signed it."""
    files = unpack(path)
    signed_by, signatures = signers(files, allowed)
    tags = {name for name in files if not name.startswith("data/")} - set(signatures) - {TAG_MANIFEST}
    check_hashes(files, TAG_MANIFEST, tags)
    check_hashes(files, MANIFEST, {name for name in files if name.startswith("data/")})
    profile = json.loads(files["data/profile.json"])
    if json.loads(files["data/profile.schema.json"]) != schema:
        raise Refused("the schema in it is not the published one")
    validator = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
    for error in validator.iter_errors(profile):
        raise Refused(f"profile.json: {error.message}")
    return profile, signed_by


def main():
    question = json.load(sys.stdin)
    schema = json.loads(Path(question["schema"]).read_text())
    results = []
    for one in question["bundles"]:
        result = {"bundle": one["bundle"], "error": None}
        try:
            profile, signed_by = read(one["bundle"], one["allowed_signers"], schema)
            identity = profile["identity"]
            result |= {"id": profile["id"], "release": profile["release"], "signed_by": signed_by}
            result |= {"maker": identity["maker"], "model": identity["model"]}
        except (Refused, KeyError, ValueError) as error:
            result["error"] = str(error) or type(error).__name__
        results.append(result)
    json.dump({"results": results}, sys.stdout)


main()
