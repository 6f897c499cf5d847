// Holds report.sarif against the schema of SARIF 2.1.0, OASIS, as a package of npm has it.
// Usage: node sarif.mjs FOLDER
import fs from "node:fs";
import path from "node:path";
import Ajv from "ajv-draft-04";
import formats from "ajv-formats";
import draft7 from "ajv";

const schema = JSON.parse(fs.readFileSync(new URL("node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json", import.meta.url)));
const Kind = /draft-04/.test(schema.$schema) ? Ajv : draft7;
const ajv = new (Kind.default ?? Kind)({ strict: false, allErrors: true, unicodeRegExp: false });
(formats.default ?? formats)(ajv);
const log = JSON.parse(fs.readFileSync(path.join(process.argv[2], "report.sarif"), "utf8"));
const valid = ajv.validate(schema, log);
if (!valid) console.log(ajv.errorsText(ajv.errors, { separator: "\n" }));
console.log("report.sarif", valid ? "valid" : "not valid", log.runs[0].results.length, "results");
process.exit(valid ? 0 : 1);
