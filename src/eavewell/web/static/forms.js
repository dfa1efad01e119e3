// Parts that are open stay open, links lead into parts that are still closed, lists are sent when
// they are left, undo goes by keys, and the page asks whether the file was changed elsewhere.
"use strict";
(() => {
  const site = () => document.getElementById("section").dataset.site;
  const wait = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

  // the parts that stand open, by their names, before what shows them is replaced
  const opened = () => [...document.querySelectorAll("details.part[open], details.part[open] details[open]")].map((one) => one.id).filter(Boolean);
  let open = [];
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.target.id === "notes") open = opened();
  });
  document.addEventListener("shown-anew", async (event) => {
    const asked = event.detail.open;
    for (const id of open) { const part = document.getElementById(id); if (part && !part.open) await unfold(part); }
    if (asked) await goTo(asked);
    // what had the focus may be gone
    if (!asked && document.activeElement === document.body) document.querySelector("#notes button, #undo:enabled, #redo:enabled")?.focus();
  });

  // a part opened, and its fields there
  async function unfold(part) {
    part.open = true;
    for (let tries = 0; tries < 100 && part.querySelector(":scope > .body > .meaning:only-child"); tries += 1) await wait(30);
  }

  // the thing of that name, after every part around it has been opened
  async function goTo(id) {
    const name = id.slice(2);
    for (let depth = 0; depth < 9; depth += 1) {
      const around = [...document.querySelectorAll("details.part:not([open])")]
        .filter((one) => name === one.id.slice(2) || name.startsWith(`${one.id.slice(2)}-`));
      if (document.getElementById(id) && !around.length) break;
      if (!around.length) { const whole = document.getElementById("p-site"); if (!whole || whole.open) break; await unfold(whole); continue; }
      await unfold(around.sort((one, other) => one.id.length - other.id.length)[0]);
    }
    const found = document.getElementById(id) || document.getElementById(`p-${name}`);
    if (!found) return false;
    if (found.matches("details") && !found.open) await unfold(found);
    found.closest("details.unsaid")?.setAttribute("open", "");
    found.scrollIntoView({ block: "center" });
    (found.matches("details") ? found.querySelector("summary") : found).focus();
    return true;
  }
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href^='#f-'], a[href^='#p-'], a[*|href^='#p-']");
    const id = link?.getAttribute("href")?.slice(1);
    if (!id) return;
    event.preventDefault();
    goTo(id);
  });

  // lists and ticks are one change: sent when they are left, ticks also after a pause
  const list = (event) => event.target.closest?.("fieldset.rows, fieldset.ticks");
  const dirty = new WeakSet();
  let pause = 0;
  function send(fieldset) {
    if (!dirty.has(fieldset)) return;
    dirty.delete(fieldset);
    clearTimeout(pause);
    htmx.trigger(fieldset, "settled");
  }
  document.addEventListener("input", (event) => {
    const fieldset = list(event);
    if (!fieldset) return;
    dirty.add(fieldset);
    if (fieldset.matches(".ticks")) { clearTimeout(pause); pause = setTimeout(() => send(fieldset), 900); }
  });
  document.addEventListener("focusout", (event) => {
    const fieldset = list(event);
    if (fieldset && !fieldset.contains(event.relatedTarget)) send(fieldset);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && list(event)) { event.preventDefault(); send(list(event)); }
  });

  // what other fields offer has changed, or a level was moved on the section
  document.addEventListener("stale", () => {
    for (const body of document.querySelectorAll("details.part[open] > .body")) {
      if (!body.contains(document.activeElement) && !body.parentElement.parentElement.closest("details.part")) htmx.trigger(body, "reload");
    }
  });

  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z") return;
    if (event.target.matches?.("input:not([type=checkbox]), textarea, select")) return;
    event.preventDefault();
    document.getElementById(event.shiftKey ? "redo" : "undo").click();
  });

  function ask() {
    if (document.hidden || document.querySelector("#outside .outside")) return;
    const version = document.getElementById("version").value;
    htmx.ajax("GET", `/sites/${site()}/seen?version=${version}`, { target: "#outside", swap: "innerHTML" });
  }
  addEventListener("focus", ask);
  setInterval(ask, 5000);
  // one notice at a time, and it goes with the next thing that is done
  document.addEventListener("htmx:beforeRequest", (event) => {
    if (event.detail.requestConfig.verb === "post") document.getElementById("notes").replaceChildren();
  });
})();
