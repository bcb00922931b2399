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

  // A long form is computed beside itself while it is filled in: the server renders it again, and what depends on the
  // fields is taken from there. Nothing is written by that; without this the Compute button does the same.
  document.querySelectorAll("form[data-live-form]").forEach(function (form) {
    var waiting = null;
    var asked = 0;

    function take(fresh) {
      form.querySelectorAll("[data-live]").forEach(function (part) {
        var other = fresh.getElementById(part.id);
        if (!other) { return; }
        part.replaceChildren.apply(part, Array.prototype.slice.call(document.importNode(other, true).childNodes));
        form.querySelectorAll('[aria-describedby="' + part.id + '"]').forEach(function (field) {
          field.setAttribute("aria-invalid", String(part.textContent !== ""));
        });
      });
    }

    function ask(whole) {
      var mine = ++asked;
      var body = new URLSearchParams(new FormData(form));
      body.set("do", "compute");
      fetch(form.action, { method: "POST", body: body, credentials: "same-origin" }).then(function (answer) {
        return answer.ok ? answer.text() : null;
      }).then(function (text) {
        if (text === null || mine !== asked) { return; }
        var fresh = new DOMParser().parseFromString(text, "text/html");
        if (whole) {
          var there = form.querySelector("#" + whole);
          var other = fresh.getElementById(whole);
          var focused = document.activeElement && document.activeElement.id;
          if (there && other) { there.replaceWith(document.importNode(other, true)); }
          var again = focused && document.getElementById(focused);
          if (again) { again.focus(); }
        }
        take(fresh);
      }).catch(function () { /* the Compute button still works */ });
    }

    function changed(event) {
      var part = event.target.closest("[data-contact-form]");
      if (part && /\.preset$/.test(event.target.name)) {
        ask(part.id);
        return;
      }
      clearTimeout(waiting);
      waiting = setTimeout(function () { ask(null); }, 400);
    }

    form.addEventListener("input", changed);
    form.addEventListener("change", changed);
  });
}());
