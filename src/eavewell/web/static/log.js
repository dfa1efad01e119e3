// Who writes is remembered in this browser, so that it is typed once.
"use strict";
(() => {
  const KEY = "eavewell who";
  const kept = () => { try { return localStorage.getItem(KEY) ?? ""; } catch { return ""; } };

  function fill() {
    for (const one of document.querySelectorAll("input.who")) if (!one.value) one.value = kept();
  }

  document.addEventListener("change", (event) => {
    if (!event.target.matches?.("input.who")) return;
    try { localStorage.setItem(KEY, event.target.value.trim()); } catch { return; }
  });
  document.addEventListener("htmx:load", (event) => {
    fill();
    const asked = event.detail.elt.querySelector?.("[data-focus]");
    asked?.focus();
    asked?.select();
  });
  fill();
})();
