// Highlights one candidate across all plots and tables, by pointer or keyboard, and opens details for print.
// The page is complete without it.
(function () {
  "use strict";
  var root = document.documentElement;
  var tags = Array.prototype.slice.call(document.querySelectorAll("[data-candidate]"));

  function light(index) {
    if (index === null) {
      root.removeAttribute("data-lit");
    } else {
      root.setAttribute("data-lit", index);
    }
    tags.forEach(function (tag) {
      tag.setAttribute("aria-pressed", String(tag.getAttribute("data-candidate") === index));
    });
    document.querySelectorAll("[data-of]").forEach(function (part) {
      part.classList.toggle("lit", part.getAttribute("data-of") === index);
    });
  }

  function toggle(tag) {
    var index = tag.getAttribute("data-candidate");
    light(root.getAttribute("data-lit") === index ? null : index);
  }

  tags.forEach(function (tag) {
    tag.setAttribute("role", "button");
    tag.setAttribute("tabindex", "0");
    tag.setAttribute("aria-pressed", "false");
    tag.addEventListener("click", function () { toggle(tag); });
    tag.addEventListener("keydown", function (event) {
      if (event.key === "Enter" || event.key === " ") {
        event.preventDefault();
        toggle(tag);
      }
    });
  });
  document.addEventListener("keydown", function (event) {
    if (event.key === "Escape") { light(null); }
  });

  var opened = [];
  window.addEventListener("beforeprint", function () {
    opened = Array.prototype.filter.call(document.querySelectorAll("details"), function (part) { return !part.open; });
    opened.forEach(function (part) { part.open = true; });
  });
  window.addEventListener("afterprint", function () {
    opened.forEach(function (part) { part.open = false; });
  });
  var search = document.querySelectorAll("form[data-what-if-form]");
  search.forEach(function (form) {
    // Fields left empty say nothing: leave them out of the address.
    form.addEventListener("submit", function () {
      form.querySelectorAll("input[type=number]").forEach(function (field) { field.disabled = field.value === ""; });
    });
  });
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[data-what-if-form] input[type=number]").forEach(function (field) { field.disabled = false; });
  });
}());
