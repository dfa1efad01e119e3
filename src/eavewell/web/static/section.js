// Levels moved on the section: by pointer or by keys. While one moves, the plate follows;
// when it is let go, the server writes it into the site file.
"use strict";
(() => {
  const STEP_M = { us: 0.0254, metric: 0.01 };
  let held = null;

  const drawing = () => document.querySelector("svg.drawing");
  const site = () => document.getElementById("section").dataset.site;
  const system = () => document.getElementById("section").dataset.show;

  function metresAt(event) {
    const svg = drawing();
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return (Number(svg.dataset.zero) - at.y) / Number(svg.dataset.up);
  }

  function shift(grip, level) {
    const up = Number(drawing().dataset.up);
    grip.dataset.now = level;
    grip.setAttribute("transform", `translate(0 ${(Number(grip.dataset.level) - level) * up})`);
    grip.classList.add("moving");
  }

  let waiting = 0, asking = false;
  function follow(grip) {
    if (asking) { waiting = grip; return; }
    asking = true;
    const told = new URLSearchParams({ address: grip.dataset.address, level_m: grip.dataset.now, from_m: grip.dataset.from });
    fetch(`/sites/${site()}/try?${told}`, { headers: { "HX-Request": "true" } })
      .then((answer) => answer.text())
      .then((html) => { const plate = document.getElementById("plate"); if (plate && held) plate.innerHTML = html; })
      .catch(() => {})
      .finally(() => { asking = false; if (waiting) { const next = waiting; waiting = 0; if (held) follow(next); } });
  }

  function settle(grip) {
    const was = document.activeElement === grip ? grip.dataset.address : "";
    const values = { address: grip.dataset.address, of: grip.dataset.of, level_m: grip.dataset.now, from_m: grip.dataset.from };
    htmx.ajax("POST", `/sites/${site()}/move`, { target: "#moved", swap: "innerHTML", values })
      .then(() => { if (was) document.querySelector(`.grip[data-address="${was}"]`)?.focus(); })
      .catch(() => document.addEventListener("answers-again", () => settle(grip), { once: true }));
  }

  document.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest?.(".grip");
    if (!grip) return;
    event.preventDefault();
    held = { grip, away: Number(grip.dataset.level) - metresAt(event) };
    grip.setPointerCapture(event.pointerId);
  });
  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const step = STEP_M[system()] || 0.01;
    shift(held.grip, Math.round((metresAt(event) + held.away) / step) * step);
    follow(held.grip);
  });
  document.addEventListener("pointerup", () => {
    if (!held) return;
    const { grip } = held;
    held = null;
    if (grip.dataset.now && grip.dataset.now !== grip.dataset.level) settle(grip);
  });
  let pause = 0;
  document.addEventListener("keydown", (event) => {
    const grip = event.target.closest?.(".grip");
    const ways = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 12, PageDown: -12 };
    if (!grip || !(event.key in ways)) return;
    event.preventDefault();
    shift(grip, Number(grip.dataset.now || grip.dataset.level) + ways[event.key] * (STEP_M[system()] || 0.01));
    clearTimeout(pause);
    pause = setTimeout(() => settle(grip), 600);
  });
})();
