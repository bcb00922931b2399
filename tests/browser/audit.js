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

// Of each kind of thing that the keyboard reaches, one that shows no ring when it has the focus.
function without_ring() {
  var seen = new Set();
  var found = [];
  document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']").forEach(function (part) {
    var kind = part.tagName + "." + part.className + " in " + part.parentElement.className;
    if (seen.has(kind) || part.type === "hidden" || part.disabled || !part.checkVisibility()) { return; }
    seen.add(kind);
    part.focus({ focusVisible: true, preventScroll: true });
    var is_drawn = [part, part.closest(".with-unit") || part].some(function (one) {
      var style = getComputedStyle(one);
      return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
    });
    if (document.activeElement !== part) {
      found.push("the focus cannot be set on " + kind);
    } else if (!is_drawn) {
      found.push("no ring on " + kind);
    }
  });
  return seen.size ? found : ["nothing can be reached"];
}

// The browser asks for less motion.
function moving() {
  var is_smooth = getComputedStyle(document.documentElement).scrollBehavior !== "auto";
  return is_smooth || document.getAnimations().length > 0 ? ["something moves"] : [];
}

// The engine passes over what is closed.
document.querySelectorAll("details").forEach(function (part) { part.open = true; });
var only = { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] };
axe.run(document, { runOnly: only, resultTypes: ["violations"], preload: false }).then(function (results) {
  var said = results.violations.flatMap(function (fault) {
    return fault.nodes.slice(0, 3).map(function (node) {
      return fault.id + " (" + fault.nodes.length + "): " + node.target.join(" ") + " " + node.html.slice(0, 200) + " " + node.failureSummary;
    });
  });
  done(said.concat(unnamed_drawings(), wide(), without_ring(), moving()));
}, function (error) { done(["axe: " + error]); });
