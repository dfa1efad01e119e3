// Line numbers that keep up with the text, and links to the lines that are at fault.
"use strict";
(() => {
  const text = document.getElementById("text"), numbers = document.querySelector(".lines ol");
  text.addEventListener("input", () => {
    const lines = text.value.split("\n").length;
    while (numbers.children.length < lines) numbers.append(document.createElement("li"));
    while (numbers.children.length > lines) numbers.lastChild.remove();
    text.rows = lines + 1;
  });
  document.addEventListener("click", (event) => {
    const line = Number(event.target.closest?.("[data-line]")?.dataset.line);
    if (!line) return;
    event.preventDefault();
    const lines = text.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
    numbers.children[line - 1]?.scrollIntoView({ block: "center" });
    text.focus({ preventScroll: true });
    text.setSelectionRange(start, start + (lines[line - 1] || "").length);
  });
})();
