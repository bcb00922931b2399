// Run in a page after axe-core: gives what is wrong as sentences, an empty list where nothing is.
var done = arguments[arguments.length - 1];

function unnamed_drawings() {
  return Array.from(document.querySelectorAll("svg")).filter(function (svg) {
    if (svg.closest("[aria-hidden='true']")) { return false; }
    return svg.getAttribute("role") !== "img" || !(svg.getAttribute("aria-label") || svg.querySelector("title"));
  }).map(function (svg) { return "a drawing without words: " + svg.outerHTML.slice(0, 160); });
}

function wide() {
  var width = document.scrollingElement.scrollWidth;
  return width <= window.innerWidth ? [] : ["it scrolls sideways: " + width + " in " + window.innerWidth];
}

axe.run(document, {
  runOnly: { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] },
  resultTypes: ["violations"]
}).then(function (results) {
  var said = results.violations.flatMap(function (fault) {
    return fault.nodes.slice(0, 3).map(function (node) {
      return fault.id + " (" + fault.nodes.length + "): " + node.target.join(" ") + " " + node.html.slice(0, 200) + " " + node.failureSummary;
    });
  });
  done(said.concat(unnamed_drawings(), wide(), results.passes && results.passes.length === 0 ? ["nothing was checked"] : []));
}, function (error) { done(["axe: " + error]); });
