// Tracing the plan: one list of things with their points as they are booked. The server reads and
// measures them; the browser shows, and reckons by itself only while something is dragged.
"use strict";
(() => {
  const T = TraceSheet, by = (id) => document.getElementById(id);
  const main = document.querySelector("main.trace"), svg = by("sheet"), board = by("board");
  const mark = JSON.parse(document.body.getAttribute("hx-headers"))["X-Eavewell-Mark"];
  const LABELS = { plane: "roof", tank: "tank", pipe: "pipe", tree: "tree", property: "" };
  const HINTS = {
    rest: "Corners can be dragged; with the keyboard, go to one with Tab and move it with the arrows, Shift for more.",
    draw: "Touch or click each point in turn; with the keyboard, move the cross by the arrows and set a point with Enter. Backspace takes the last one back, Escape ends.",
    closed: " Click the first corner again to close.",
    scale: "Mark the two ends of a distance you know, then write it below.",
    north: "Mark two points on a line that runs north, the south one first.",
  };
  let slots = [], laid = null, version = "", unit = "m", metre = 1;
  let row = 0, zoom = 1, view = null, mode = "rest", cursor = null, held = null, ends = [], asked = 0, dirty = false, seen = 0, frame = null;
  const past = [], ahead = [];

  const now = () => JSON.stringify({ slots, row, north: by("north").value });
  const closed = (one) => one.kind === "plane";
  const single = (one) => one.kind === "tank" || one.kind === "tree";
  const label = (one) => `${LABELS[one.kind]} ${one.of}`.trim();
  const chosen = () => slots[row];

  async function ask(what, body) {
    const json = body && !(body instanceof FormData);
    const headers = { "X-Eavewell-Mark": mark };
    if (json) headers["Content-Type"] = "application/json";
    let answer;
    try {
      answer = await fetch(`${main.dataset.site}${what}`, body ? { method: "POST", headers, body: json ? JSON.stringify(body) : body } : { headers });
    } catch { throw new Error("The server does not answer: is it still running? Nothing was written."); }
    const text = await answer.text();
    let told = null;
    try { told = JSON.parse(text); } catch { /* a sentence */ }
    if (!answer.ok) throw new Error(told && told.says ? told.says.join(" ") : told ? "That could not be read." : text.trim());
    return told;
  }

  const sent = (one) => ({ kind: one.kind, of: one.of, roof: one.roof, plane: one.plane, points: one.points.map(([a, o]) => [a || "", o || ""]), across: one.across || "" });

  // --- what changes the list -------------------------------------------------------------------
  function step() { past.push(now()); if (past.length > 200) past.shift(); ahead.length = 0; dirty = true; asked += 1; by("told").textContent = ""; soon(); }
  function travel(from, to) {
    if (!from.length) return;
    to.push(now());
    const was = JSON.parse(from.pop());
    slots = was.slots; row = was.row; by("north").value = was.north; dirty = true;
    ends = []; show(); measure();
  }

  const texts = ([x, y]) => {
    const plain = (v) => String(Number((v / metre).toFixed(unit === "ft" ? 2 : 3)) + 0);
    const off = plain(Math.abs(y));
    return [plain(x), off === "0" ? "0" : `${off} ${y > 0 ? "left" : "right"}`];
  };

  function put(i, at, one = chosen()) {
    one.points_m = one.points_m || [];
    one.points[i] = texts(at); one.points_m[i] = at; one.says = "";
    reckon(one);
  }

  // Shown only until the server has measured.
  function reckon(one) {
    const points = (one.points_m || []).filter(Boolean), plain = (v, n) => Number(v.toPrecision(n)).toLocaleString("en");
    const length = (a, b) => `${plain(T.apart(a, b) / metre, 3)} ${unit}`;
    const count = closed(one) && points.length > 2 ? points.length : points.length - 1;
    one.sides = Array.from({ length: Math.max(count, 0) }, (_, i) => length(points[i], points[(i + 1) % points.length]));
    one.area_m2 = closed(one) && points.length > 2 ? T.areaOf(points) : null;
    one.area = one.area_m2 ? `${plain(one.area_m2 / metre ** 2, 4)} ${unit}2` : "";
    one.right = [];
  }

  async function measure() {
    clearTimeout(later);
    const mine = ++asked, sending = slots.filter((one) => one.points.length);
    try {
      const told = await ask("/measured.json", { things: sending.map(sent) });
      if (mine !== asked) return;
      told.things.forEach((found, i) => Object.assign(sending[i], found));
      show();
    } catch (refused) { by("wrong").textContent = refused.message; }
  }
  let later = 0;
  function soon() { clearTimeout(later); later = setTimeout(() => { if (held) soon(); else measure(); }, 180); }

  // --- the table -------------------------------------------------------------------------------
  function list() {
    const which = by("which");
    which.replaceChildren(...slots.map((one, i) => new Option(`${label(one)}${one.points.length ? " \u2713" : ""}`, i, false, i === row)));
    which.value = row;
    const one = chosen();
    by("more-plane").hidden = one.kind !== "plane";
    by("tree-told").hidden = one.kind !== "tree";
    if (document.activeElement !== by("tree-name")) by("tree-name").value = one.kind === "tree" ? one.of : "";
    if (document.activeElement !== by("tree-across")) by("tree-across").value = one.across || "";
    by("off").disabled = !one.points.length;
    by("more").hidden = single(one) && one.points.length > 0;
  }

  function table() {
    const one = chosen(), body = document.querySelector("#offsets tbody");
    const at = document.activeElement, was = at && at.closest("#offsets") ? [Number(at.dataset.i), at.dataset.side] : null;
    if (was && at.tagName === "INPUT" && body.rows.length === Math.max(one.points.length, 1) && Number(body.dataset.row) === row) {
      [...body.querySelectorAll("input")].forEach((box) => { if (box !== at) fill(box, one); else faulty(box, one); });
      return;
    }
    body.dataset.row = row;
    const points = one.points.length ? one.points : [["", ""]];
    body.replaceChildren(...points.map((_, i) => {
      const line = document.createElement("tr"), head = document.createElement("th");
      head.scope = "row"; head.textContent = i + 1; line.append(head);
      for (const side of [0, 1]) {
        const cell = line.insertCell(), box = document.createElement("input");
        box.maxLength = 60; box.autocomplete = "off"; box.dataset.i = i; box.dataset.side = side;
        box.setAttribute("aria-label", `Point ${i + 1}, ${side ? "left or right" : "along"}`);
        fill(box, one); cell.append(box);
      }
      const out = document.createElement("button");
      out.type = "button"; out.textContent = "×"; out.dataset.i = i; out.dataset.side = "out"; out.setAttribute("aria-label", `Take out point ${i + 1}`);
      out.disabled = !one.points.length;
      line.insertCell().append(out);
      return line;
    }));
    if (was) { const again = body.querySelector(`[data-i="${Math.min(was[0], points.length - 1)}"][data-side="${was[1]}"]`); if (again) again.focus(); }
  }
  function fill(box, one) { const point = one.points[box.dataset.i]; box.value = point ? point[box.dataset.side] : ""; faulty(box, one); }
  function faulty(box, one) {
    const wrong = Boolean(one.points[box.dataset.i] && one.point_says && one.point_says[box.dataset.i]);
    box.classList.toggle("wrong", wrong); box.setAttribute("aria-invalid", wrong);
  }

  // --- the sheet -------------------------------------------------------------------------------
  function sheet() {
    const focus = svg.contains(document.activeElement) && document.activeElement !== svg ? document.activeElement.dataset.i : null;
    if (!frame || !held) frame = grown();
    view = new T.View(frame, board, zoom);
    svg.setAttribute("width", view.wide); svg.setAttribute("height", view.tall);
    svg.classList.toggle("drawing", mode !== "rest"); main.classList.toggle("drawing", mode !== "rest");
    const north = by("north").value.trim() && !Number.isNaN(Number(by("north").value)) ? Number(by("north").value) : null;
    const ground = T.el("g", {}), things = T.el("g", {}), rim = T.el("g", {});
    T.paper(ground, view, { metre, laid, href: `${main.dataset.site}/underlay.png?${seen}`, north, unit });
    const words = [];
    slots.forEach((one, i) => { if (i !== row) T.thing(things, view, one, { chosen: false, row: i, words }); });
    T.thing(things, view, chosen(), { chosen: true, row, words });
    T.write(things, words);
    T.rim(rim, view, board, { metre, unit, north });
    svg.replaceChildren(ground, things, ...corners(), ...pencil(), rim);
    if (focus !== null) { const again = svg.querySelector(`.corner[data-i="${focus}"]`); if (again) again.focus({ preventScroll: true }); }
  }

  // While drawing, the sheet holds still unless something lies outside of it.
  function grown() {
    const all = T.boundsOf(slots, laid);
    if (mode === "rest" || !frame) return all;
    const inView = slots.every((one) => (one.points_m || []).every((p) => !p || seenIn(view.px(p))));
    return inView ? frame : [Math.min(all[0], frame[0]), Math.min(all[1], frame[1]), Math.max(all[2], frame[2]), Math.max(all[3], frame[3])];
  }

  const seenIn = ([x, y]) => x >= 0 && y >= 0 && x <= view.wide && y <= view.tall;

  function corners() {
    const one = chosen();
    return (one.points_m || []).map((at, i) => {
      if (!at) return null;
      const [x, y] = view.px(at), group = T.el("g", { class: "corner", tabindex: 0, role: "button", "data-i": i });
      group.setAttribute("aria-label", `${label(one)}, point ${i + 1}: ${one.points[i].join(", ")}`);
      if (held && held.i === i) group.classList.add("held");
      group.append(T.el("circle", { cx: x, cy: y, r: 16, class: "reach" }), T.el("circle", { cx: x, cy: y, r: 5.5, class: "dot" }));
      return group;
    }).filter(Boolean);
  }

  function pencil() {
    const made = [], one = chosen(), last = mode === "draw" ? (one.points_m || []).at(-1) : ends.at(-1);
    if (ends.length === 2) made.push(T.el("path", { d: T.path(view, ends), class: "pencil" }));
    for (const p of ends) { const [x, y] = view.px(p); made.push(T.el("circle", { cx: x, cy: y, r: 6, class: "pencil" })); }
    if (mode === "rest" || !cursor) return made;
    const [x, y] = view.px(cursor);
    if (last && !(mode === "draw" && single(one)) && ends.length < 2) {
      made.push(T.el("path", { d: T.path(view, [last, cursor]), class: "pencil" }));
      if (mode === "draw") made.push(T.el("text", { x: x + 14, y: y - 14, class: "start" }, `${(T.apart(last, cursor) / metre).toFixed(1)} ${unit}`));
    }
    made.push(T.el("path", { d: `M${x - 14} ${y}h28M${x} ${y - 14}v28`, class: "cross" }));
    return made;
  }

  function show() {
    list(); table(); sheet();
    by("undo").disabled = !past.length; by("redo").disabled = !ahead.length;
    const one = chosen();
    by("wrong").textContent = [...(one.point_says || []).filter(Boolean), mode === "draw" ? "" : one.says || ""].filter(Boolean).slice(0, 2).join(" ");
    by("draw").setAttribute("aria-pressed", mode === "draw");
    by("draw").textContent = mode === "draw" ? "Done" : one.points.length && !single(one) && !closed(one) ? "Draw on" : "Draw it on the sheet";
    by("hint").textContent = HINTS[mode] + (mode === "draw" && closed(one) && one.points.length > 2 ? HINTS.closed : "");
    by("laid").hidden = !laid;
    if (laid) {
      const wide = (laid.wide_px * laid.m_per_px / metre).toPrecision(4);
      by("laid-says").textContent = laid.scaled ? `The picture is ${Number(wide)} ${unit} wide.` : "The picture has no scale yet: mark two points on it and write the distance between them.";
      const [left, low] = texts([laid.left_m, laid.low_m]);
      if (document.activeElement !== by("left")) by("left").value = left;
      if (document.activeElement !== by("low")) by("low").value = low;
    }
  }

  function enter(next) {
    mode = mode === next ? "rest" : next;
    if (mode === "scale" || mode === "north") ends = [];
    if (mode === "draw" && closed(chosen()) && chosen().points.length > 2) { step(); chosen().points = []; chosen().points_m = []; reckon(chosen()); chosen().says = ""; }
    cursor = null;
    if (mode === "rest") measure();
    show();
    if (mode !== "rest") { svg.focus({ preventScroll: true }); board.scrollIntoView({ block: "nearest" }); }
  }

  const fromEvent = (event) => { const box = svg.getBoundingClientRect(); return view.m([event.clientX - box.left, event.clientY - box.top]); };

  function kept(at, anchors, { but = -1 } = {}) {
    if (!by("snap").checked) return at;
    const one = chosen(), turns = [0, Math.PI / 2], points = (one.points_m || []).filter(Boolean);
    if (points.length > 1 && but !== 0 && but !== 1) { const t = Math.atan2(points[1][1] - points[0][1], points[1][0] - points[0][0]); turns.push(t, t + Math.PI / 2); }
    const earlier = slots.flatMap((each, i) => (each.points_m || []).filter((p, j) => p && !(i === row && j === but)));
    return T.snapped(at, { earlier, anchors, turns, within: 9 / view.k });
  }

  const drawn = (at) => { const points = chosen().points_m || []; return mode === "draw" ? kept(at, [points.at(-1), points[0]].filter(Boolean)) : at; };

  function set(at) {
    const one = chosen(), points = one.points_m || [];
    if (mode === "scale" || mode === "north") {
      if (ends.length === 2) ends = [];
      ends.push(at);
      if (ends.length === 2) marked();
      show(); return;
    }
    if (mode !== "draw") return;
    if (closed(one) && points.length > 2 && T.apart(at, points[0]) < 12 / view.k) { enter("draw"); return; }
    step();
    if (single(one)) { one.points = []; one.points_m = []; put(0, at); enter("draw"); return; }
    put(points.length, at); show(); soon();
  }

  async function marked() {
    if (mode === "scale") { mode = "rest"; by("distance").focus(); return; }
    const told = ends; mode = "rest";
    await beneath(async () => {
      const found = await ask("/north.json", { ends_m: told });
      step(); by("north").value = found.north_deg; ends = [];
    });
  }

  async function beneath(doing) {
    by("beneath-wrong").textContent = "";
    try { await doing(); } catch (refused) { by("beneath-wrong").textContent = refused.message; }
    frame = null; show();
  }

  function takeOut(i) {
    const one = chosen();
    step(); one.points.splice(i, 1); (one.points_m || []).splice(i, 1); (one.point_says || []).splice(i, 1);
    reckon(one); show(); measure();
  }

  function choose(i) { row = i; mode = "rest"; cursor = null; show(); }

  // --- what is asked of it ---------------------------------------------------------------------
  svg.addEventListener("click", (event) => {
    if (held) return;
    if (mode !== "rest") { set(drawn(fromEvent(event))); return; }
    const found = event.target.closest(".thing");
    if (found && Number(found.dataset.row) !== row) choose(Number(found.dataset.row));
  });
  svg.addEventListener("pointermove", (event) => {
    if (held) {
      const points = chosen().points_m, n = points.length, around = single(chosen()) ? [] : [points[(held.i + n - 1) % n], points[(held.i + 1) % n]];
      if (!held.moved) { step(); held.moved = true; }
      put(held.i, kept(fromEvent(event), around.filter(Boolean), { but: held.i })); sheet();
    } else if (mode !== "rest" && event.pointerType !== "touch") { cursor = drawn(fromEvent(event)); sheet(); }
  });
  svg.addEventListener("pointerdown", (event) => {
    const corner = event.target.closest(".corner");
    if (!corner || mode !== "rest" || event.button) return;
    held = { i: Number(corner.dataset.i), moved: false };
    corner.focus({ preventScroll: true });
    svg.setPointerCapture(event.pointerId); event.preventDefault();
  });
  for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, () => {
    if (!held) return;
    const moved = held.moved;
    setTimeout(() => { held = null; frame = null; if (moved) measure(); show(); });
  });
  // a corner that is redrawn under a finger must not begin a scroll
  svg.addEventListener("touchmove", (event) => { if (held) event.preventDefault(); }, { passive: false });

  svg.addEventListener("keydown", (event) => {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }, way = ways[event.key];
    const corner = event.target.closest(".corner"), one = chosen();
    const far = (unit === "ft" ? 0.5 : 0.1) * metre * (event.shiftKey ? 10 : 1);
    if (corner && mode === "rest") {
      const i = Number(corner.dataset.i);
      if (way) { event.preventDefault(); step(); put(i, [one.points_m[i][0] + way[0] * far, one.points_m[i][1] + way[1] * far]); show(); soon(); }
      else if (event.key === "Delete" || event.key === "Backspace") { event.preventDefault(); takeOut(i); }
      return;
    }
    if (mode === "rest") return;
    if (way) {
      event.preventDefault();
      const from = cursor || (one.points_m || []).at(-1) || view.m([view.wide / 2, view.tall / 2]), long = far * 2;
      const on = cursor ? from : [Math.round(from[0] / metre) * metre, Math.round(from[1] / metre) * metre];
      cursor = [on[0] + way[0] * long, on[1] + way[1] * long]; sheet();
    } else if ((event.key === "Enter" || event.key === " ") && cursor) { event.preventDefault(); set(cursor); }
    else if (event.key === "Backspace" && mode === "draw" && one.points.length) { event.preventDefault(); takeOut(one.points.length - 1); }
    else if (event.key === "Escape") enter(mode);
  });
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, textarea")) return;
    const key = event.key.toLowerCase();
    if (key === "z") { event.preventDefault(); event.shiftKey ? travel(ahead, past) : travel(past, ahead); }
    else if (key === "y") { event.preventDefault(); travel(ahead, past); }
  });

  const table_ = by("offsets");
  table_.addEventListener("change", (event) => {
    const box = event.target, one = chosen(), i = Number(box.dataset.i);
    step();
    one.points[i] = one.points[i] || ["", ""];
    one.points[i][Number(box.dataset.side)] = box.value.trim();
    frame = null; measure();
  });
  table_.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
    event.preventDefault();
    const boxes = [...table_.querySelectorAll("input")], next = boxes[boxes.indexOf(event.target) + 1];
    event.target.dispatchEvent(new Event("change", { bubbles: true }));
    if (next) next.focus(); else if (!single(chosen())) by("more").click();
  });
  table_.addEventListener("click", (event) => { if (event.target.dataset.side === "out") takeOut(Number(event.target.dataset.i)); });
  by("more").addEventListener("click", () => {
    step(); const one = chosen();
    one.points.push(["", ""]);
    (one.points_m = one.points_m || []).push(null); list(); table();
    table_.querySelector("tbody tr:last-child input").focus();
  });
  by("off").addEventListener("click", () => {
    step(); const one = chosen();
    if (one.kind === "tree") { slots.splice(row, 1); row = Math.min(row, slots.length - 1); }
    else Object.assign(one, { points: [], points_m: [], sides: [], right: [], area: "", says: "", point_says: [] });
    frame = null; show(); measure();
  });
  by("which").addEventListener("change", (event) => choose(Number(event.target.value)));
  by("more-plane").addEventListener("click", () => {
    step(); const one = chosen(), same = slots.filter((each) => each.kind === "plane" && each.roof === one.roof);
    const name = one.plane < 0 ? one.of : one.of.replace(/, [^,]*$/, "");
    if (one.plane < 0) { one.plane = 0; one.of = `${name}, plane 1`; }
    const plane = Math.max(...same.map((each) => each.plane)) + 1;
    slots.splice(slots.indexOf(same.at(-1)) + 1, 0, { kind: "plane", of: `${name}, plane ${plane + 1}`, roof: one.roof, plane, points: [], points_m: [] });
    choose(slots.findIndex((each) => each.roof === one.roof && each.plane === plane));
  });
  by("more-tree").addEventListener("click", () => {
    step(); const taken = new Set(slots.map((one) => one.of));
    let at = 1; while (taken.has(`tree ${at}`)) at += 1;
    slots.push({ kind: "tree", of: `tree ${at}`, roof: -1, plane: -1, points: [], points_m: [], across: "" });
    choose(slots.length - 1);
  });
  by("tree-name").addEventListener("change", (event) => { if (event.target.value.trim()) { step(); chosen().of = event.target.value.trim(); show(); } });
  by("tree-across").addEventListener("change", (event) => { step(); chosen().across = event.target.value.trim(); measure(); });
  by("draw").addEventListener("click", () => enter("draw"));
  by("undo").addEventListener("click", () => travel(past, ahead));
  by("redo").addEventListener("click", () => travel(ahead, past));
  for (const [id, by_] of [["near", 1.5], ["far", 1 / 1.5]]) by(id).addEventListener("click", () => {
    const x = (board.scrollLeft + board.clientWidth / 2) / view.wide, y = (board.scrollTop + board.clientHeight / 2) / view.tall;
    zoom = Math.min(Math.max(zoom * by_, 1), 12); sheet();
    board.scrollLeft = x * view.wide - board.clientWidth / 2; board.scrollTop = y * view.tall - board.clientHeight / 2;
  });
  board.addEventListener("scroll", () => sheet());
  by("north").addEventListener("change", () => { dirty = true; sheet(); });
  by("by-north").addEventListener("click", () => enter("north"));
  by("by-scale").addEventListener("click", () => enter("scale"));
  by("scale").addEventListener("click", () => beneath(async () => {
    if (ends.length < 2) throw new Error("Mark the two points first.");
    laid = await ask("/scale.json", { ends_m: ends, distance: by("distance").value }); ends = [];
  }));
  by("place").addEventListener("click", () => beneath(async () => { laid = await ask("/place.json", { kind: "property", points: [[by("left").value, by("low").value]] }); }));
  by("gone").addEventListener("click", () => beneath(async () => { await ask("/gone.json", {}); laid = null; }));
  const bring = by("bring");
  bring.addEventListener("submit", (event) => { event.preventDefault(); lay(by("picture").files[0]); });
  bring.addEventListener("dragover", (event) => { event.preventDefault(); bring.classList.add("over"); });
  bring.addEventListener("dragleave", () => bring.classList.remove("over"));
  bring.addEventListener("drop", (event) => { event.preventDefault(); bring.classList.remove("over"); lay(event.dataTransfer.files[0]); });
  const lay = (file) => beneath(async () => {
    if (!file) throw new Error("Choose a picture first.");
    if (file.size > Number(main.dataset.largest)) throw new Error(`The picture is larger than ${Number(main.dataset.largest) / 1e6} MB: reduce it.`);
    const form = new FormData();
    form.append("page", by("page").value); form.append("file", file);
    laid = await ask("/underlay.json", form); seen = Date.now(); ends = [];
  });
  by("keep").addEventListener("click", async () => {
    by("told").textContent = ""; by("told").className = "";
    try {
      const things = slots.filter((one) => one.points.length).map(sent);
      await ask("/kept.json", { things, north: by("north").value, version });
      dirty = false; past.length = 0; ahead.length = 0; await load();
      by("told").textContent = "Written into the site file.";
    } catch (refused) { by("told").textContent = refused.message; by("told").className = "fault"; }
  });
  addEventListener("beforeunload", (event) => { if (dirty) event.preventDefault(); });
  new ResizeObserver(() => { if (view) { frame = held ? frame : null; sheet(); } }).observe(board);

  async function load() {
    const was = slots.length ? `${chosen().kind} ${chosen().of}` : "";
    const told = await ask(".json");
    ({ unit, metre, version } = told);
    slots = told.things; laid = told.underlay.wide_px ? told.underlay : null;
    by("north").value = told.north;
    row = Math.max(slots.findIndex((one) => `${one.kind} ${one.of}` === was), 0);
    frame = null; show();
    main.dataset.ready = "yes";
  }
  load().catch((refused) => { by("wrong").textContent = refused.message; });
})();
