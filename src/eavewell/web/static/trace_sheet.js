// The sheet to scale: draws what is booked, keeps points to right angles and to earlier points.
"use strict";
const TraceSheet = (() => {
  const NS = "http://www.w3.org/2000/svg", PAD = 54;

  const el = (name, attributes, words) => {
    const made = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (words !== undefined) made.textContent = words;
    return made;
  };

  const areaOf = (points) => Math.abs(points.reduce((sum, [x, y], i) => {
    const [u, v] = points[(i + 1) % points.length];
    return sum + x * v - u * y;
  }, 0)) / 2;

  const apart = ([x, y], [u, v]) => Math.hypot(u - x, v - y);

  // Where in an outline words have the most room: the middle of the widest chord.
  function roomIn(points) {
    const ys = points.map((p) => p[1]), low = Math.min(...ys), high = Math.max(...ys);
    let best = { wide: -1, at: points[0] };
    for (const share of [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8]) {
      const y = low + share * (high - low), cuts = [];
      points.forEach(([x, a], i) => {
        const [u, b] = points[(i + 1) % points.length];
        if ((a > y) !== (b > y)) cuts.push(x + (y - a) / (b - a) * (u - x));
      });
      cuts.sort((a, b) => a - b);
      for (let i = 0; i + 1 < cuts.length; i += 2) {
        const wide = cuts[i + 1] - cuts[i];
        if (wide > best.wide * 1.05) best = { wide, at: [(cuts[i] + cuts[i + 1]) / 2, y] };
      }
    }
    return best;
  }

  // The nearest of: an earlier point, a crossing of two square lines, a square line; else itself.
  function snapped(at, { earlier, anchors, turns, within }) {
    let near = null;
    for (const p of earlier) if (apart(p, at) < within * 1.4 && (!near || apart(p, at) < apart(near, at))) near = p;
    if (near) return near.slice();
    const lines = [];
    for (const [px, py] of anchors) for (const turn of turns) {
      const dx = Math.cos(turn), dy = Math.sin(turn), far = (at[0] - px) * dx + (at[1] - py) * dy;
      const foot = [px + far * dx, py + far * dy];
      if (apart(foot, at) < within) lines.push({ px, py, dx, dy, foot });
    }
    for (const a of lines) for (const b of lines) {
      const cross = a.dx * b.dy - a.dy * b.dx;
      if (Math.abs(cross) < 0.2) continue;
      const far = ((b.px - a.px) * b.dy - (b.py - a.py) * b.dx) / cross;
      const meet = [a.px + far * a.dx, a.py + far * a.dy];
      if (apart(meet, at) < within * 1.5) return meet;
    }
    lines.sort((a, b) => apart(a.foot, at) - apart(b.foot, at));
    return lines.length ? lines[0].foot : at;
  }

  function boundsOf(slots, laid) {
    const all = slots.flatMap((one) => (one.points_m || []).filter(Boolean));
    if (laid) all.push([laid.left_m, laid.low_m], [laid.left_m + laid.wide_px * laid.m_per_px, laid.low_m + laid.high_px * laid.m_per_px]);
    const xs = all.map((p) => p[0]), ys = all.map((p) => p[1]);
    const found = all.length ? [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] : [0, 0, 24, 16];
    const least = all.length < 3 && !laid ? 16 : 6;
    for (const axis of [0, 1]) {
      const short = least - (found[axis + 2] - found[axis]);
      if (short > 0) { found[axis] -= short / 2; found[axis + 2] += short / 2; }
    }
    return found;
  }

  class View {
    constructor(bounds, board, zoom) {
      const [left, low, right, high] = bounds;
      const wide = board.clientWidth - 2, tall = board.clientHeight - 2;
      this.k = zoom * Math.min((wide - 2 * PAD) / (right - left), (tall - 2 * PAD) / (high - low));
      this.wide = Math.max(wide, (right - left) * this.k + 2 * PAD);
      this.tall = Math.max(tall, (high - low) * this.k + 2 * PAD);
      this.x0 = (left + right) / 2 - this.wide / 2 / this.k;
      this.y0 = (low + high) / 2 + this.tall / 2 / this.k;
    }
    px([x, y]) { return [(x - this.x0) * this.k, (this.y0 - y) * this.k]; }
    m([x, y]) { return [x / this.k + this.x0, this.y0 - y / this.k]; }
  }

  const path = (view, points, closed) => points.map((p, i) => (i ? "L" : "M") + view.px(p).map((v) => v.toFixed(1)).join(" ")).join("") + (closed ? "Z" : "");

  function paper(svg, view, { metre, laid, href, north, unit }) {
    if (laid) {
      const [x, y] = view.px([laid.left_m, laid.low_m + laid.high_px * laid.m_per_px]);
      const w = laid.wide_px * laid.m_per_px * view.k, h = laid.high_px * laid.m_per_px * view.k;
      svg.append(el("image", { href, x, y, width: w, height: h, preserveAspectRatio: "none", opacity: 0.8 }));
      svg.append(el("rect", { x, y, width: w, height: h, class: "frame" }));
    }
    const step = [1, 5, 10, 20, 50, 100, 200, 500, 1000].find((one) => one * metre * view.k > 34) * metre;
    for (let x = Math.ceil(view.x0 / step) * step; (x - view.x0) * view.k < view.wide; x += step) {
      const at = (x - view.x0) * view.k;
      svg.append(el("line", { x1: at, x2: at, y1: 0, y2: view.tall, class: "grid" }));
    }
    for (let y = Math.floor(view.y0 / step) * step; (view.y0 - y) * view.k < view.tall; y -= step) {
      const at = (view.y0 - y) * view.k;
      svg.append(el("line", { x1: 0, x2: view.wide, y1: at, y2: at, class: "grid" }));
    }
    const base = view.px([0, 0])[1];
    svg.append(el("line", { x1: 0, x2: view.wide, y1: base, y2: base, class: "base" }));
    if (base > 20 && base < view.tall - 40) svg.append(el("text", { x: 8, y: base - 5, class: "start side" }, "base line"));
  }

  // Scale bar and north keep to the corners of what is seen.
  function rim(svg, view, board, { metre, unit, north }) {
    const x = board.scrollLeft, y = board.scrollTop + board.clientHeight;
    const size = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].find((one) => one * metre * view.k > 60) || 1000;
    const long = size * metre * view.k, group = el("g", { "aria-hidden": "true" });
    for (const half of [0, 1]) group.append(el("rect", { x: x + 14 + half * long / 2, y: y - 20, width: long / 2, height: 6, class: half ? "hollow" : "ink" }));
    group.append(el("text", { x: x + 14, y: y - 25, class: "start side" }, `0`), el("text", { x: x + 14 + long, y: y - 25, class: "side" }, `${size} ${unit}`));
    const turn = north === null ? 0 : north, cx = x + board.clientWidth - 34, cy = board.scrollTop + 42;
    group.append(el("path", { d: "M0 -22L7 14L0 8L-7 14Z", class: north === null ? "hollow" : "ink", transform: `translate(${cx} ${cy}) rotate(${turn})` }));
    const rad = turn * Math.PI / 180;
    group.append(el("text", { x: cx + 31 * Math.sin(rad), y: cy - 31 * Math.cos(rad) + 5, class: "side" }, north === null ? "N?" : "N"));
    svg.append(group);
  }

  // words : what is to be written, the most needed with the lowest number, set by write at the end.
  function thing(svg, view, one, { chosen, row, words }) {
    const points = (one.points_m || []).filter(Boolean);
    if (!points.length) return;
    const group = el("g", { class: "thing", "data-row": row });
    const look = `${one.kind}${chosen ? " chosen" : ""}${one.says && !chosen ? " bad" : ""}`;
    const called = one.of.length > 24 ? one.of.slice(0, 23) + "…" : one.of;
    const say = (need, at, said, kind = "") => words.push({ need: chosen && need ? need - 0.5 : need, at, said, kind });
    svg.append(group);
    if (one.kind === "tank" || one.kind === "tree") {
      const [x, y] = view.px(points[0]);
      const r = one.kind === "tank" ? 11 : Math.max(9, (one.across_m || 0) / 2 * view.k);
      group.append(el("circle", { cx: x, cy: y, r, class: look }));
      if (one.kind === "tree") group.append(el("circle", { cx: x, cy: y, r: 3, class: "trunk" }));
      say(2, [x, y + 28], called);
      return;
    }
    const closed = one.kind === "plane" && points.length > 2;
    group.append(el("path", { d: path(view, points, closed), class: look }));
    (one.sides || []).forEach((said, i) => side(view, points, { said, i, closed, say }));
    if (closed) {
      (one.right || []).forEach((is, i) => { if (is) group.append(square(view, points, i)); });
      const room = roomIn(points), [x, y] = view.px(room.at), ys = points.map((p) => p[1]);
      const named = room.wide * view.k > 7.5 * called.length && (Math.max(...ys) - Math.min(...ys)) * view.k > 44;
      if (one.area) say(0, [x, y + (named ? 15 : 5)], one.area, "area");
      if (named) say(2, [x, y - 4], called);
    } else if (one.length) {
      const mid = Math.floor((points.length - 1) / 2), [x, y] = view.px(points[mid]), [u, v] = view.px(points[mid + 1] || points[mid]);
      say(2, [(x + u) / 2, (y + v) / 2 + 26], points.length > 2 ? `${called}, ${one.length}` : called);
    }
  }

  function side(view, points, { said, i, closed, say }) {
    const [x, y] = view.px(points[i]), [u, v] = view.px(points[(i + 1) % points.length]);
    const long = Math.hypot(u - x, v - y);
    if (long < 12 + (Math.abs(u - x) * 6.5 * said.length + Math.abs(v - y) * 16) / long) return;
    let nx = (v - y) / long, ny = -(u - x) / long;
    if (closed) {
      const turned = points.reduce((sum, [a, b], j) => { const [c, d] = points[(j + 1) % points.length]; return sum + a * d - c * b; }, 0);
      if (turned > 0) { nx = -nx; ny = -ny; }
    } else if (ny > 0) { nx = -nx; ny = -ny; }
    const away = 12 + Math.abs(nx) * 3.2 * said.length, half = 3.4 * said.length;
    const at = Math.min(Math.max((x + u) / 2 + nx * away, half), view.wide - half);
    say(3, [at, (y + v) / 2 + ny * away + 4], said, "side");
  }

  // An area always stands on its plane; of the others, what would cover an earlier one is left out.
  function write(svg, words) {
    const set = [];
    for (const { need, at: [x, y], said, kind } of words.sort((a, b) => a.need - b.need)) {
      const half = said.length * (kind === "area" ? 4 : 3.4);
      const box = [x - half, y - 12, x + half, y + 3];
      const covers = set.some((b) => box[0] < b[2] && b[0] < box[2] && box[1] < b[3] && b[1] < box[3]);
      if (covers && need) continue;
      set.push(box);
      svg.append(el("text", { x, y, class: kind }, said));
    }
  }

  function square(view, points, i) {
    const at = view.px(points[i]);
    const unit = (p) => { const q = view.px(p), l = Math.hypot(q[0] - at[0], q[1] - at[1]) || 1; return [(q[0] - at[0]) / l * 9, (q[1] - at[1]) / l * 9]; };
    const a = unit(points[(i + points.length - 1) % points.length]), b = unit(points[(i + 1) % points.length]);
    return el("path", { class: "square", d: `M${at[0] + a[0]} ${at[1] + a[1]}l${b[0]} ${b[1]}l${-a[0]} ${-a[1]}` });
  }

  return { el, areaOf, apart, snapped, boundsOf, View, path, paper, rim, thing, write };
})();
