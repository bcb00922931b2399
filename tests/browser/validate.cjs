// Reads {"path": "html", …} from its input and prints every fault of every page, one a line; nothing where there is none.
//
// The rules are the validator's own set for the HTML standard ("standard": content models, required and forbidden
// attributes, attribute values, references to ids, unclosed and stray tags, duplicates) with its set for accessibility
// ("a11y"), and the rule that every id which is named is there. One rule is set otherwise: a name on a list or a form
// (aria-label) is allowed, as the ARIA standard allows it; the set warns of it as unusual. No rule of the sets is off.
"use strict";
const { HtmlValidate, StaticConfigLoader } = require("html-validate");

const loader = new StaticConfigLoader({
  root: true,
  extends: ["html-validate:standard", "html-validate:a11y"],
  rules: { "aria-label-misuse": ["error", { allowAnyNamable: true }], "no-missing-references": "error" },
});
const validator = new HtmlValidate(loader);

async function main() {
  let text = "";
  for await (const part of process.stdin) { text += part; }
  for (const [path, html] of Object.entries(JSON.parse(text))) {
    const report = await validator.validateString(html, path);
    for (const message of report.results.flatMap((result) => result.messages)) {
      const line = html.split("\n")[message.line - 1].slice(Math.max(0, message.column - 60), message.column + 100);
      console.log(`${path}:${message.line} ${message.ruleId}: ${message.message} … ${line.trim()}`);
    }
  }
}

main();
