// JSON Schema (2020-12) validation by the npm packages `ajv` and `ajv-formats`, strict mode on.
//
// Called with the folder of the installed packages; reads one JSON document on standard input and
// prints one on standard output.
//
// Input:  {"schema": SCHEMA, "documents": [{"name": TEXT, "document": ANY}, ...], "repeat": NUMBER}
// Output: {"results": [{"name": TEXT, "valid": BOOLEAN, "error": TEXT or null}, ...],
//          "seconds": NUMBER or null}
//
// Strict mode refuses a schema with unknown keywords or formats, or with keywords that cannot act.
// With "repeat" (0 when absent) the first document is validated that many times more, and "seconds"
// is the time of one.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

// Packages are looked for beside the folder named by the caller, not beside this script.
const load = createRequire(resolve(process.argv[2], "here.js"));
const Ajv2020 = load("ajv/dist/2020").default;
const addFormats = load("ajv-formats").default;

const question = JSON.parse(readFileSync(0, "utf8"));
const ajv = addFormats(new Ajv2020({ strict: true, allErrors: false }));
const validate = ajv.compile(question.schema);

const results = question.documents.map(({ name, document }) => {
  const valid = validate(document);
  const first = valid ? null : validate.errors[0];
  return { name, valid, error: first && `${first.instancePath}: ${first.message}` };
});

let seconds = null;
if (question.repeat) {
  const document = question.documents[0].document;
  const began = process.hrtime.bigint();
  for (let i = 0; i < question.repeat; i += 1) {
    if (!validate(document)) throw new Error("the document to be timed is not valid");
  }
  seconds = Number(process.hrtime.bigint() - began) / 1e9 / question.repeat;
}
process.stdout.write(`${JSON.stringify({ results, seconds })}\n`);
