// Enter and the arrows move from line to line, Ctrl+Enter writes; what is typed is kept here until it is written.
"use strict";
(() => {
  const sheet = () => document.getElementById("sheet");
  const key = () => `eavewell month ${sheet().dataset.key}`;
  const fields = () => [...sheet().querySelectorAll("input:not([type=hidden])")];

  function keep() {
    const typed = Object.fromEntries(fields().filter((one) => one.value).map((one) => [one.name, one.value]));
    try { localStorage.setItem(key(), JSON.stringify(typed)); } catch { return; }
  }

  function restore() {
    try {
      if (sheet().dataset.taken) { localStorage.removeItem(key()); return; }
      const typed = JSON.parse(localStorage.getItem(key())) ?? {};
      for (const one of fields()) if (!one.value && typed[one.name]) one.value = typed[one.name];
    } catch { return; }
  }

  function moved(field, by) {
    const [box] = field.name.split("-");
    const same = fields().filter((one) => one.name.startsWith(`${box}-`));
    const next = same[same.indexOf(field) + by];
    next?.focus();
    next?.select();
    return Boolean(next);
  }

  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (!field.closest?.(".month") || field.tagName !== "INPUT") return;
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      sheet().requestSubmit();
      return;
    }
    const by = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (by === undefined || event.ctrlKey || event.altKey || event.metaKey) return;
    const last = !moved(field, event.shiftKey && event.key === "Enter" ? -1 : by);
    if (event.key !== "Enter" || !last) event.preventDefault();
  });
  document.addEventListener("input", (event) => { if (event.target.closest?.("#sheet")) keep(); });
  document.addEventListener("htmx:afterSwap", () => { if (sheet()) restore(); });
  restore();
})();
