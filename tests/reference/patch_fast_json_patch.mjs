// JSON patches (RFC 6902) applied by the npm package `fast-json-patch`.
//
// Called with the folder of the installed packages; reads one JSON document on standard input and
// prints one on standard output.
//
// Input:  {"file": PATH} of a file with one JSON document a line: {"before": ANY, "patches": [PATCH, ...]}
// Output: {"results": [[TEXT, ...], ...]}
//
// Each patch is applied to its line's document by itself. A result is the SHA-256 of the patched
// document as canonical JSON. RFC 8785 is defined by what JSON.stringify writes for strings and
// numbers, with the keys sorted by UTF-16 code units, which is how JavaScript sorts strings.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

// Packages are looked for beside the folder named by the caller, not beside this script.
const load = createRequire(resolve(process.argv[2], "here.js"));
const { applyPatch, deepClone } = load("fast-json-patch");

const canonical = (value) => {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const member = (key) => `${JSON.stringify(key)}:${canonical(value[key])}`;
  return `{${Object.keys(value).sort().map(member).join(",")}}`;
};

const patched = (before, patch) => {
  const after = applyPatch(deepClone(before), patch, true).newDocument;
  return createHash("sha256").update(canonical(after)).digest("hex");
};

const { file } = JSON.parse(readFileSync(0, "utf8"));
const lines = readFileSync(file, "utf8").split("\n").filter((line) => line);
const results = lines.map((line) => {
  const { before, patches } = JSON.parse(line);
  return patches.map((patch) => patched(before, patch));
});
process.stdout.write(`${JSON.stringify({ results })}\n`);
