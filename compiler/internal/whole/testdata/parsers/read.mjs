// Reads a report whose texts are all hostile with parsers that are not ours:
// Markdown by the rules of GitHub, HTML by the standard.
// Usage: node read.mjs FOLDER
import fs from "node:fs";
import path from "node:path";
import { unified } from "unified";
import remarkParse from "remark-parse";
import remarkGfm from "remark-gfm";
import { visit } from "unist-util-visit";
import { HtmlValidate } from "html-validate";

const folder = process.argv[2];
let wrong = 0;
const say = (words) => { console.log(words); wrong++; };

for (const name of ["report.md", "derivations.md", "build-book.md"]) {
  const text = fs.readFileSync(path.join(folder, name), "utf8");
  const counts = {};
  visit(unified().use(remarkParse).use(remarkGfm).parse(text), (node) => {
    counts[node.type] = (counts[node.type] ?? 0) + 1;
    const at = `${name}:${node.position?.start.line}`;
    // The report's own markup: links within the report, pictures in figures/.
    if (node.type === "link" && !/^((report|derivations|build-book)\.md)?(#.*)?$/.test(node.url)) say(`${at}: a link to ${node.url}`);
    if (node.type === "image" && !/^figures\/[a-z0-9_.-]+\.svg$/.test(node.url)) say(`${at}: a picture from ${node.url}`);
    if (["html", "delete", "footnoteReference", "footnoteDefinition", "definition", "linkReference", "imageReference", "code", "blockquote"].includes(node.type)) {
      say(`${at}: ${node.type}: ${JSON.stringify(node.value ?? node.label ?? "")}`);
    }
    if (name !== "build-book.md" && node.type === "listItem" && node.checked !== null && node.checked !== undefined) say(`${at}: a box to check`);
  });
  console.log(name, JSON.stringify(counts));
}

const validate = new HtmlValidate({
  extends: ["html-validate:standard"],
  rules: { "long-title": "off" }, // the name of the machine, which is hostile here
});
for (const name of ["report.html", "derivations.html", "build-book.html"]) {
  const report = await validate.validateString(fs.readFileSync(path.join(folder, name), "utf8"));
  for (const result of report.results) {
    for (const m of result.messages.slice(0, 20)) say(`${name}:${m.line}:${m.column}: ${m.ruleId}: ${m.message}`);
  }
  console.log(name, report.valid ? "valid" : "not valid");
}
process.exit(wrong ? 1 : 0);
