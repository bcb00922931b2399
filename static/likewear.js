// Highlights one candidate across all plots and tables, by pointer or keyboard, and opens details for print.
// The page is complete without it.
(function () {
  "use strict";
  // The page says what is lit when it comes from the server; what a person lights is kept in the address.
  function lights() { return document.querySelector("[data-lights]") || document.documentElement; }

  function showLit() {
    var lit = lights().getAttribute("data-lit");
    document.querySelectorAll("[data-candidate]").forEach(function (tag) {
      tag.setAttribute("role", "button");
      tag.setAttribute("tabindex", "0");
      tag.setAttribute("aria-pressed", String(tag.getAttribute("data-candidate") === lit));
    });
  }

  function light(index, code) {
    if (index === null) {
      lights().removeAttribute("data-lit");
    } else {
      lights().setAttribute("data-lit", index);
    }
    showLit();
    var address = new URL(window.location.href);
    if (index !== null && code) {
      address.searchParams.set("lit", code);
    } else {
      address.searchParams.delete("lit");
    }
    if (address.href !== window.location.href) { history.replaceState(null, "", address); }
  }

  function toggle(tag) {
    var index = tag.getAttribute("data-candidate");
    var code = tag.getAttribute("data-code") || tag.textContent.trim();
    light(lights().getAttribute("data-lit") === index ? null : index, code);
  }

  document.addEventListener("click", function (event) {
    var tag = event.target.closest("[data-candidate], [data-unlit]");
    if (!tag || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    event.preventDefault();
    if (tag.hasAttribute("data-unlit")) { light(null); } else { toggle(tag); }
  });
  document.addEventListener("keydown", function (event) {
    var tag = event.target.closest && event.target.closest("[data-candidate]");
    if (tag && (event.key === "Enter" || event.key === " ")) {
      event.preventDefault();
      toggle(tag);
    }
    if (event.key === "Escape" && lights().hasAttribute("data-lit")) { light(null); }
  });
  showLit();

  // What depends on a form is taken from the page that the server renders again; details that are open stay open.
  function swap(scope, fresh) {
    scope.querySelectorAll("[data-live]").forEach(function (part) {
      var other = fresh.getElementById(part.id);
      if (!other) { return; }
      var open = Array.prototype.map.call(part.querySelectorAll("details"), function (one) { return one.open; });
      part.replaceChildren.apply(part, Array.prototype.slice.call(document.importNode(other, true).childNodes));
      var again = part.querySelectorAll("details");
      if (again.length === open.length) {
        again.forEach(function (one, i) { one.open = open[i]; });
      }
    });
  }

  // What is read aloud or sent is copied by a button, which the page has only where it can do so.
  if (navigator.clipboard) {
    document.querySelectorAll("button[data-copy]").forEach(function (button) {
      var words = button.textContent;
      button.hidden = false;
      button.addEventListener("click", function () {
        var from = document.getElementById(button.getAttribute("data-copy"));
        navigator.clipboard.writeText(from.textContent).then(function () { button.textContent = "Copied"; },
          function () { button.textContent = "Not copied"; });
        setTimeout(function () { button.textContent = words; }, 2000);
      });
    });
  }

  // On a wall the arrow keys go from screen to screen.
  var screens = Array.prototype.slice.call(document.querySelectorAll("[data-screen]"));
  var steps = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1 };
  document.addEventListener("keydown", function (event) {
    var step = screens.length > 0 && steps[event.key];
    if (!step) { return; }
    event.preventDefault();
    var at = 0;
    screens.forEach(function (screen, place) {
      if (screen.getBoundingClientRect().top <= window.innerHeight / 2) { at = place; }
    });
    var to = screens[Math.min(Math.max(at + step, 0), screens.length - 1)];
    to.scrollIntoView();
    history.replaceState(null, "", "#" + to.id);
  });

  var opened = [];
  window.addEventListener("beforeprint", function () {
    // The numbers of each test print where a reader has opened them, and all of them in the report.
    var isReport = document.querySelector("[data-report]") !== null;
    opened = Array.prototype.filter.call(document.querySelectorAll("details"), function (part) {
      return !part.open && (isReport || !part.classList.contains("test"));
    });
    opened.forEach(function (part) { part.open = true; });
  });
  window.addEventListener("afterprint", function () {
    opened.forEach(function (part) { part.open = false; });
  });
  // A question is answered while it is put; the address is the question, so that it can be sent. `told` is called with
  // each answer.
  function answers(form, page, told) {
    var waiting = null;
    var asked = 0;
    var said = form.querySelector("[data-said]");

    function address() {
      var query = new URLSearchParams();
      new FormData(form).forEach(function (value, field) {
        if (value !== "" && field !== "lit") { query.append(field, value); }
      });
      var lit = new URL(window.location.href).searchParams.get("lit");
      if (lit) { query.set("lit", lit); }
      var text = query.toString();
      return page + (text ? "?" + text : "");
    }

    function say(text) {
      if (said) { said.textContent = text; }
    }

    function ask() {
      var mine = ++asked;
      var to = address();
      say("Computing …");
      fetch(to, { credentials: "same-origin" }).then(function (answer) {
        return answer.text().then(function (text) {
          return { ok: answer.ok, page: new DOMParser().parseFromString(text, "text/html") };
        });
      }).then(function (got) {
        if (mine !== asked) { return; }
        if (!got.ok) {
          var faults = got.page.querySelector("[data-faults]") || got.page.querySelector(".lead");
          say("Not computed: " + (faults ? faults.textContent.trim() : "the question cannot be used."));
          return;
        }
        swap(document, got.page);
        told(got.page);
        showLit();
        history.replaceState(null, "", to + window.location.hash);
        var after = got.page.querySelector("[data-after]");
        say(after ? "Computed. " + after.textContent : "Computed.");
      }).catch(function () { say("Not computed: the program does not answer."); });
    }

    function changed() {
      clearTimeout(waiting);
      waiting = setTimeout(ask, 450);
    }

    form.addEventListener("input", changed);
    form.addEventListener("change", changed);
    // Fields left empty say nothing: the address goes without them.
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      window.location.assign(address());
    });
  }

  document.querySelectorAll("form[data-what-if-form]").forEach(function (form) {
    answers(form, form.getAttribute("data-page"), function () {});
  });

  // On the comparison the question is put in a drawer beside it, with before and after at its top.
  var drawer = null;

  function closeDrawer(opener) {
    if (!drawer) { return; }
    drawer.remove();
    drawer = null;
    document.body.classList.remove("has-drawer");
    if (opener && document.contains(opener)) { opener.focus(); }
  }

  function openDrawer(opener) {
    var page = window.location.pathname;
    fetch(page + "/what-if" + window.location.search, { credentials: "same-origin" }).then(function (answer) {
      return answer.ok ? answer.text() : Promise.reject();
    }).then(function (text) {
      var fresh = new DOMParser().parseFromString(text, "text/html");
      var form = fresh.querySelector("form[data-what-if-form]");
      if (!form) { return Promise.reject(); }
      closeDrawer(null);
      drawer = document.createElement("aside");
      drawer.className = "drawer";
      drawer.setAttribute("aria-label", "What if");
      var close = document.createElement("button");
      close.type = "button";
      close.textContent = "Close";
      close.addEventListener("click", function () { closeDrawer(opener); });
      var pinned = document.createElement("div");
      pinned.className = "pinned";
      var pin = function (from) { pinned.innerHTML = from.getElementById("live-asked").innerHTML; };
      pin(fresh);
      var head = document.createElement("div");
      head.className = "drawer-head";
      head.append(close, pinned);
      form = document.importNode(form, true);
      drawer.append(head, form);
      document.body.append(drawer);
      document.body.classList.add("has-drawer");
      answers(form, page, pin);
      form.querySelector("input").focus();
    }).catch(function () { window.location.assign(opener.href); });
  }

  if (document.querySelector("[data-comparison]")) {
    document.addEventListener("click", function (event) {
      var opener = event.target.closest("[data-ask]");
      if (!opener || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
      event.preventDefault();
      openDrawer(opener);
    });
    document.addEventListener("keydown", function (event) {
      if (event.key === "Escape") { closeDrawer(document.querySelector("[data-ask]")); }
    });
  }

  // A long form is computed beside itself while it is filled in: the server renders it again, and what depends on the
  // fields is taken from there. Nothing is written by that; without this the Compute button does the same.
  document.querySelectorAll("form[data-live-form]").forEach(function (form) {
    var waiting = null;
    var asked = 0;

    function take(fresh) {
      swap(form, fresh);
      form.querySelectorAll("[data-live]").forEach(function (part) {
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
