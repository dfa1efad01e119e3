// The whole record: rain above, water in the stores below, both on one line of time.
"use strict";
(() => {
  const DAY_S = 86400, PRINTED_PX = 660;
  const MM_PER_IN = 25.4, L_PER_GAL = 3.785411784, L_PER_M3 = 1000;
  const host = document.getElementById("days");
  const dayOf = (iso) => Date.parse(`${iso}T00:00:00Z`) / 1000;
  const inkOf = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

  function shown(data) {
    const us = host.dataset.show === "us";
    const level = us ? L_PER_GAL : L_PER_M3;
    return {
      rain: data.rain_mm.map((mm) => (us ? mm / MM_PER_IN : mm)),
      level: data.level_l.map((litres) => litres / level),
      full: data.usable_l / level,
      rainUnit: us ? "in" : "mm",
      levelUnit: us ? "gal" : "m3",
    };
  }

  function spells(data) {
    return (plot) => {
      const { ctx, bbox } = plot;
      ctx.save();
      ctx.globalAlpha = 0.16;
      ctx.fillStyle = inkOf("--rust");
      for (const one of data.spells) {
        const left = plot.valToPos(dayOf(one.from), "x", true), right = plot.valToPos(dayOf(one.to) + DAY_S, "x", true);
        ctx.fillRect(Math.max(left, bbox.left), bbox.top, Math.max(right - left, 2), bbox.height);
      }
      ctx.restore();
    };
  }

  function plots(data) {
    const sizes = shown(data), first = dayOf(data.from);
    const days = data.rain_mm.map((_, at) => first + at * DAY_S);
    const wide = () => Math.max(host.clientWidth - 16, 280);
    const ink = inkOf("--ink"), rule = inkOf("--rule"), water = inkOf("--water");
    const axis = (label) => ({ stroke: ink, grid: { stroke: rule, width: 0.5 }, ticks: { stroke: rule }, label, size: 54, labelSize: 20, font: "12px Fira Sans", labelFont: "13px Fira Sans" });
    const time = { ...axis(""), size: 30, label: undefined };
    const common = { width: wide(), padding: [10, 18, 0, 0], cursor: { sync: { key: "days" }, drag: { x: true, y: false } }, legend: { show: false }, tzDate: (stamp) => uPlot.tzDate(new Date(stamp * 1000), "UTC") };
    const rain = new uPlot({ ...common, height: 170, padding: [10, 18, 10, 0], axes: [{ ...time, show: false }, axis(`rain, ${sizes.rainUnit}/day`)],
      series: [{}, { stroke: water, width: 1, points: { show: false }, paths: uPlot.paths.bars({ size: [1, 3] }), fill: water }] }, [days, sizes.rain], host);
    const level = new uPlot({ ...common, height: 250, axes: [time, axis(`in all stores, ${sizes.levelUnit}`)], scales: { y: { range: [0, sizes.full * 1.03] } },
      series: [{}, { stroke: water, width: 1, points: { show: false }, fill: inkOf("--wash") }], hooks: { draw: [spells(data)] } }, [days, sizes.level], host);
    const both = [rain, level];
    const whole = () => [days[0], days[days.length - 1]];
    const set = (from, to) => {
      const min = Math.max(from, whole()[0]), max = Math.min(to, whole()[1]);
      both.forEach((plot) => plot.setScale("x", { min, max }));
      return [min, max];
    };
    let quiet = false;
    both.forEach((plot) => {
      plot.hooks.setScale = [(one, key) => {
        if (key !== "x" || quiet) return;
        quiet = true;
        both.filter((other) => other !== one).forEach((other) => other.setScale("x", { min: one.scales.x.min, max: one.scales.x.max }));
        quiet = false;
      }];
    });
    new ResizeObserver(() => both.forEach((plot) => plot.setSize({ width: wide(), height: plot.height }))).observe(host);
    // a sheet of paper is narrower than most windows
    const sized = (width) => both.forEach((plot) => plot.setSize({ width, height: plot.height }));
    addEventListener("beforeprint", () => sized(PRINTED_PX));
    addEventListener("afterprint", () => sized(wide()));
    return { set, scale: () => [level.scales.x.min, level.scales.x.max], whole };
  }

  function keys(chart, data) {
    // the plots follow a moment later than what is told
    function show(from, to) {
      const told = chart.set(from, to).map((stamp) => new Date(stamp * 1000).toISOString().slice(0, 10));
      document.getElementById("days-at").textContent = told.join(" to ");
    }
    function go(key) {
      const [min, max] = chart.scale(), span = max - min, [first, last] = chart.whole();
      const later = Math.min(span / 4, last - max), earlier = Math.min(span / 4, min - first);
      const ways = {
        ArrowRight: [min + later, max + later], ArrowLeft: [min - earlier, max - earlier],
        "+": [min + span / 4, max - span / 4], "=": [min + span / 4, max - span / 4], "-": [min - span / 2, max + span / 2], Home: chart.whole(),
      };
      if (!(key in ways)) return false;
      show(...ways[key]);
      return true;
    }
    host.addEventListener("keydown", (event) => { if (go(event.key)) event.preventDefault(); });
    for (const button of document.querySelectorAll("[data-key]")) button.addEventListener("click", () => go(button.dataset.key));
    for (const button of document.querySelectorAll(".look")) {
      button.addEventListener("click", () => {
        const first = dayOf(button.dataset.first), last = dayOf(button.dataset.last);
        show(first - 200 * DAY_S, last + 200 * DAY_S);
        host.scrollIntoView({ block: "center" });
      });
    }
  }

  function drop() {
    const form = document.getElementById("drop"), input = form.querySelector("input[type=file]");
    form.addEventListener("dragover", (event) => { event.preventDefault(); form.classList.add("over"); });
    form.addEventListener("dragleave", () => form.classList.remove("over"));
    form.addEventListener("drop", (event) => {
      event.preventDefault();
      form.classList.remove("over");
      if (event.dataTransfer.files.length) { input.files = event.dataTransfer.files; form.requestSubmit(); }
    });
  }

  drop();
  if (host) fetch(host.dataset.from).then((answer) => answer.json()).then((data) => keys(plots(data), data));
})();
