"use strict";
(function () {
  const body = document.body.dataset, find = (id) => document.getElementById(id);
  const KEY = `eavewell field sheet ${body.site}`;
  const { rodMetres, levelled } = globalThis.eavewellLevels;
  const { handedBack, save } = globalThis.eavewellWayBack;
  const items = [...document.querySelectorAll(".item")];
  const rod = find("rod"), book = find("book"), block = find("block"), kept = find("kept");
  const touched = new Set();  // items written in this window, its book and its rod
  let shots = {}, store = null, lines = [];

  /* what is written */
  function entered() {
    const found = {};
    for (const one of items) {
      const said = { value: word(one, ".value"), how: word(one, ".how"), note: word(one, ".note") };
      one.classList.toggle("done", Boolean(said.value));
      if (said.value || said.note) found[one.id] = said;
    }
    return { rod: rod.value, items: found, book: lines.map(typed), shots };
  }
  const word = (one, mark) => one.querySelector(mark)?.value.trim() ?? "";
  const typed = (line) => [line.point.value.trim(), line.back.value.trim(), line.fore.value.trim()];

  function keep() {
    join();
    const all = entered();
    block.value = blockOf(all);
    try {
      localStorage.setItem(KEY, JSON.stringify({ ...all, items: { ...elsewhere(), ...all.items } }));
      kept.className = "";
      kept.textContent = "Kept in this browser.";
    } catch {
      kept.className = "warn";
      kept.textContent = "This browser keeps nothing: copy the text at the end before you close it.";
    }
    reckon();
  }

  function stored() {
    try { return JSON.parse(localStorage.getItem(KEY)) ?? {}; } catch { return {}; }
  }

  /* items of another sheet of this site, which are kept for it */
  const elsewhere = () => Object.fromEntries(Object.entries(stored().items ?? {}).filter(([id]) => !find(id)));

  /* another window may have kept more: what was not written here is taken from there */
  function join() {
    const all = stored();
    for (const one of items) if (!touched.has(one.id)) fillIn(one, all.items?.[one.id]);
    if (!touched.has("rod")) rod.value = all.rod ?? body.rod;
    const told = all.book ?? [["datum", "", ""]];
    if (!touched.has("book") && JSON.stringify(told) !== JSON.stringify(lines.map(typed))) {
      lines = [];
      book.replaceChildren();
      told.forEach(addLine);
    }
    for (const [id, names] of Object.entries(all.shots ?? {})) {
      shots[id] = [...new Set([...names, ...(shots[id] ?? [])])];
      showShots(id);
    }
  }

  function fillIn(one, said) {
    for (const name of ["value", "how", "note"]) {
      const field = one.querySelector(`.${name}`), told = said?.[name] ?? "";
      if (!field || field.value === told || (name === "how" && !told)) continue;
      field.value = told;
      if (name === "note" && told && field.closest("details")) field.closest("details").open = true;
    }
  }

  function restore() {
    join();
    block.value = blockOf(entered());
    reckon();
  }

  /* the level book */
  function addLine(told) {
    const row = document.createElement("li"), line = {};
    for (const [name, words] of [["point", "Point"], ["back", "Back"], ["fore", "Forward"]]) {
      const label = document.createElement("label"), input = document.createElement("input");
      label.className = name;
      label.append(`${words} `, input);
      input.autocomplete = "off";
      if (name === "point") input.setAttribute("list", "points");
      input.value = told[["point", "back", "fore"].indexOf(name)] ?? "";
      row.append(label);
      line[name] = input;
    }
    line.output = document.createElement("output");
    row.append(line.output);
    book.append(row);
    lines.push(line);
    return line;
  }

  function reckon() {
    const told = lines.filter((line) => typed(line).some(Boolean) && (line.back.value.trim() || line.fore.value.trim()));
    lines.forEach((line) => { line.output.textContent = ""; });
    const readings = told.map((line) => ({ point: line.point.value.trim(), back: rodMetres(line.back.value, rod.value), fore: rodMetres(line.fore.value, rod.value) }));
    const closure = find("closure");
    closure.className = "";
    closure.textContent = "";
    if (!readings.length) return null;
    const odd = readings.findIndex((one) => Number.isNaN(one.back) || Number.isNaN(one.fore));
    const made = odd < 0 ? levelled(readings, Number(body.allowed)) : { says: `Line ${odd + 1}: a reading that is no length.` };
    if (made.says) {
      closure.className = "warn";
      closure.textContent = made.says;
      return null;
    }
    told.forEach((line, row) => { line.output.textContent = `Level ${shown(made.levels[row])}`; });
    closure.textContent = closed(made);
    closure.className = made.missed !== null && !made.closes ? "warn" : "";
    return readings.map((one, row) => [one.point, made.levels[row], one.fore !== null]);
  }

  function closed(made) {
    if (made.missed === null) return "The loop is open: end on the datum to see what it misses.";
    const says = `The loop misses ${shown(made.missed)}; ${shown(made.most)} is allowed at ${made.heights.length} set-ups`;
    return made.closes ? `${says}: spread over the set-ups.` : `${says}: level it again.`;
  }

  function shown(metres) {
    if (rod.value === "m") return written(metres);
    const eighths = Math.round(Math.abs(metres) / .0254 * 8), feet = Math.floor(eighths / 96);
    const inches = Math.floor(eighths % 96 / 8), part = eighths % 8;
    const over = part % 4 === 0 ? [part / 4, 2] : part % 2 === 0 ? [part / 2, 4] : [part, 8];
    const broken = part ? `${inches ? `${inches}-` : ""}${over[0]}/${over[1]}` : `${inches}`;
    return `${written(metres)} (${metres < 0 && eighths ? "-" : ""}${feet} ft ${broken} in)`;
  }
  const written = (metres) => rod.value === "m" ? `${tidy(metres, 3)} m` : `${tidy(metres / .3048, 3)} ft`;
  const tidy = (value, places) => { const text = value.toFixed(places); return Number(text) === 0 ? text.replace("-", "") : text; };

  function fill() {
    const made = reckon();
    let count = 0;
    for (const [point, level, asked] of made ?? []) {
      const one = items.find((item) => item.dataset.point === point);
      if (!one || !asked) continue;
      touched.add(one.id);
      one.querySelector(".value").value = written(level);
      one.querySelector(".how").value = "measured";
      count += 1;
    }
    keep();
    kept.textContent = count ? `${count} levels written.` : "No point of the book has the name of an item.";
  }

  /* the way back */
  function blockOf(all) {
    const out = ["EAVEWELL FIELD SHEET 1", `site: ${body.site}`, `version: ${body.version}`, `day: ${new Date().toISOString().slice(0, 10)}`, `rod: ${all.rod}`];
    for (const one of items) {
      const said = all.items[one.id], photos = (all.shots[one.id] ?? []).join(", ");
      if (!said && !photos) continue;
      const told = { item: one.id, what: one.dataset.what, of: one.dataset.of, was: one.dataset.was, value: said?.value, how: said?.value && said.how, note: said?.note, photos };
      for (const [name, value] of Object.entries(told)) if (value) out.push(`${name}: ${value}`);
    }
    for (const [point, back, fore] of all.book) if (back || fore) out.push(`reading: ${point} | ${back} | ${fore}`.trim());
    return handedBack(out, /^(item|reading):/, "END OF FIELD SHEET");
  }

  /* photographs: in the browser's store where it has one, else only their names */
  function openStore() {
    return new Promise((found) => {
      try {
        const asked = indexedDB.open(KEY, 1);
        asked.onupgradeneeded = () => asked.result.createObjectStore("shots");
        asked.onsuccess = () => found(asked.result);
        asked.onerror = asked.onblocked = () => found(null);
      } catch { found(null); }
    });
  }
  const inStore = (mode, act) => new Promise((done) => {
    if (!store) { done(null); return; }
    const asked = act(store.transaction("shots", mode).objectStore("shots"));
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => done(null);
  });

  async function addShots(one, files) {
    for (const file of files) {
      const names = shots[one.id] ??= [], name = `${one.id}-${names.length + 1}.${file.type === "image/png" ? "png" : "jpg"}`;
      const done = await inStore("readwrite", (held) => held.put(file, name));
      names.push(name);
      if (done === null) kept.textContent = `Not kept here: keep that photograph as ${name}.`;
    }
    showShots(one.id);
    keep();
  }

  function showShots(id) {
    const list = find(id)?.querySelector(".shots");
    if (list?.closest("details")) list.closest("details").open = true;
    list?.replaceChildren(...shots[id].map((name) => {
      const line = document.createElement("li");
      line.textContent = name;
      return line;
    }));
  }

  async function takeShots() {
    for (const name of Object.values(shots).flat()) {
      const data = await inStore("readonly", (held) => held.get(name));
      if (data) save(data, name);
    }
  }

  document.addEventListener("input", (event) => {
    const at = event.target;
    if (at === block || at.type === "file") return;
    touched.add(at.closest(".item")?.id ?? (at === rod ? "rod" : "book"));
    keep();
  });
  items.forEach((one) => one.querySelector(".photo").addEventListener("change", (event) => {
    addShots(one, [...event.target.files]);
    event.target.value = "";
  }));
  find("more").addEventListener("click", () => { touched.add("book"); addLine([]).point.focus(); keep(); });
  find("fill").addEventListener("click", fill);
  find("take").addEventListener("click", () => save(new Blob([block.value], { type: "text/plain" }), `${body.site} field sheet.txt`));
  find("copy").addEventListener("click", () => { block.select(); document.execCommand("copy"); kept.textContent = "Copied."; });
  find("shots").addEventListener("click", takeShots);
  find("clear").addEventListener("click", () => { find("sure").hidden = false; find("clear-yes").focus(); });
  find("clear-yes").addEventListener("click", () => {
    try { localStorage.removeItem(KEY); } catch { kept.textContent = ""; }
    inStore("readwrite", (held) => held.clear()).then(() => location.reload());
  });
  window.addEventListener("storage", (event) => {
    if (event.key === KEY && event.newValue === null) location.reload();
    else if (event.key === KEY) restore();
  });
  openStore().then((opened) => { store = opened; });
  restore();
})();
