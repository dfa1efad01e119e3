// A log kept in this browser: written at once, questioned beside the field, handed back as a text.
"use strict";
(() => {
  const body = document.body.dataset, find = (id) => document.getElementById(id);
  const KEY = `eavewell phone log ${body.site}`, WHO = "eavewell who";
  const state = find("state"), block = find("block"), list = find("kept"), who = find("who");
  const gauges = [...document.querySelectorAll(".gauge")];
  const { handedBack, save } = globalThis.eavewellWayBack;
  let entries = [];
  const gone = new Set();

  /* instants with the offset of this telephone's clock */
  const two = (number) => String(number).padStart(2, "0");
  function stamp(at) {
    const away = -at.getTimezoneOffset(), size = Math.abs(away);
    const day = [at.getFullYear(), two(at.getMonth() + 1), two(at.getDate())].join("-");
    const hour = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join(":");
    return `${day}T${hour}${away < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
  }
  const said = (iso) => {
    const at = new Date(iso);
    return Number.isNaN(at.getTime()) ? "" : at.toLocaleString([], { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });
  };

  /* kept */
  function keep() {
    join();
    block.value = text();
    try {
      localStorage.setItem(KEY, JSON.stringify(entries));
      if (who.value.trim()) localStorage.setItem(WHO, who.value.trim());
      state.className = "";
      return true;
    } catch {
      state.className = "warn";
      state.textContent = "This browser keeps nothing: copy the text at the end before you close it.";
      return false;
    }
  }

  /* another window may have kept more, and a browser may be slow to hand it over: nothing is written over */
  function join() {
    try {
      const all = JSON.parse(localStorage.getItem(KEY)), here = new Set([...gone, ...entries.map((one) => one.id)]);
      if (Array.isArray(all)) entries.push(...all.filter((one) => !here.has(one.id)));
    } catch { /* nothing that can be read is kept */ }
  }

  function restore() {
    join();
    try { who.value ||= localStorage.getItem(WHO) ?? ""; } catch { /* no name is kept */ }
    document.querySelectorAll("form input[name=who]").forEach((one) => { one.value ||= who.value; });
    show();
    block.value = text();
  }

  function words(form) {
    const found = {};
    for (const [name, value] of new FormData(form)) if (String(value).trim()) found[name] = String(value).trim();
    for (const one of form.querySelectorAll("input[type=datetime-local]")) {
      if (one.value) found[one.name] = stamp(new Date(one.value));
      else if ("now" in one.dataset) found[one.name] = stamp(new Date());
    }
    if (found.not_yet) {
      delete found.came;
      found.ordered ??= stamp(new Date());
    }
    if (!found.who && who.value.trim()) found.who = who.value.trim();
    return found;
  }

  function add(kind, found, form) {
    const mends = entries.findIndex((one) => one.id === form.dataset.mends);
    const one = { id: `${Date.now()}-${Math.random().toString(36).slice(2, 8)}`, kind, words: found };
    if (mends < 0) entries.push(one);
    else {
      one.words.at = entries[mends].words.at;
      gone.add(entries[mends].id);
      entries[mends] = one;
    }
    delete form.dataset.mends;
    form.reset();
    const name = form.querySelector("input[name=who]");
    if (name) name.value = who.value;
    if (keep()) state.textContent = mends < 0 ? "Written and kept in this browser." : "Mended and kept in this browser.";
    show();
    return one;
  }

  /* a figure that is hardly true */
  function bare(text, unit) {
    const found = /^([-+]?[0-9.,]+) *(.*)$/.exec(text.trim());
    return found && (!found[2] || found[2] === unit) ? Number(found[1].replaceAll(",", "")) : NaN;
  }
  const bareAlone = (text) => !Number.isNaN(bare(text, ""));
  const newest = (gauge, but) => entries.filter((one) => one.kind === "reading" && !one.out && one.words.gauge === gauge && one !== but).sort((one, other) => new Date(one.words.at) - new Date(other.words.at)).at(-1);

  function doubt(place, one) {
    const { unit, least, most, last, gauge } = place.dataset, value = bare(one.words.said, unit);
    if (Number.isNaN(value)) return /[0-9]/.test(one.words.said) ? "" : "No figure stands in that.";
    if (least !== undefined && value < Number(least) - 1e-9) return `${one.words.said} is below the lowest it can say.`;
    if (most !== undefined && value > Number(most) + 1e-9) return `${one.words.said} is above the highest, ${tidy(Number(most))} ${unit}.`;
    const before = newest(gauge, one), was = before ? bare(before.words.said, unit) : Number(last ?? NaN);
    if ("countsUp" in place.dataset && value < was) return `${one.words.said} is less than before: a new meter, or past its last figure?`;
    return "";
  }
  const tidy = (value) => String(Math.round(value * 10) / 10);

  function ask(place, one) {
    const says = doubt(place, one), box = place.querySelector(".question");
    one.doubt = says;
    box.hidden = !says;
    if (!says) return;
    box.querySelector("p").textContent = `${says} It is written; keep it, or mend it.`;
    box.dataset.of = one.id;
    keep();
    show();
  }

  /* shown */
  function show() {
    for (const place of gauges) {
      const line = place.querySelector(".last"), { says, at, who: by } = line.dataset, own = newest(place.dataset.gauge);
      const unit = own && bareAlone(own.words.said) ? ` ${place.dataset.unit}` : "";
      const told = own ? [own.words.said + unit, own.words.at, own.words.who ?? ""] : [says, at, by];
      line.replaceChildren();
      if (!told[0]) { line.textContent = "Never read"; continue; }
      const figure = document.createElement("b");
      figure.textContent = told[0];
      line.append("Last: ", figure, ` ${[said(told[1]), told[2]].filter(Boolean).join(", ")}`);
    }
    list.replaceChildren(...[...entries].reverse().map(line));
    if (entries.length) return;
    const none = document.createElement("li");
    none.textContent = "Nothing yet.";
    list.append(none);
  }

  function line(one) {
    const row = document.createElement("li"), figure = document.createElement("b"), more = document.createElement("small"), out = document.createElement("button");
    const { gauge, to, task, of, says, said: reading, volume, found, at, came, ordered, began, who: by, note } = one.words;
    figure.textContent = [gauge ?? to ?? task ?? of ?? says, reading ?? volume ?? found].filter(Boolean).join(": ");
    more.textContent = [said(at ?? came ?? began ?? ordered), by, note].filter(Boolean).join(", ");
    out.type = "button";
    out.textContent = one.out ? "Put it back" : "Take it out";
    row.classList.toggle("out", Boolean(one.out));
    out.addEventListener("click", () => {
      one.out = !one.out;
      if (keep()) state.textContent = one.out ? "Taken out: it is not handed back." : "Put back.";
      show();
    });
    row.append(figure, more);
    if (one.doubt) {
      const doubted = document.createElement("small");
      doubted.className = "doubt";
      doubted.textContent = one.doubt;
      row.append(doubted);
    }
    row.append(out);
    return row;
  }

  /* the way back */
  function text() {
    const out = ["EAVEWELL PHONE LOG 1", `site: ${body.site}`, `made: ${body.made}`, `day: ${stamp(new Date()).slice(0, 10)}`];
    for (const one of entries.filter((each) => !each.out)) {
      out.push(`entry: ${one.kind}`);
      for (const [name, value] of Object.entries(one.words)) out.push(`${name}: ${value}`);
    }
    return handedBack(out, /^entry:/, "END OF PHONE LOG");
  }

  for (const place of gauges) {
    const form = place.querySelector("form"), box = place.querySelector(".question"), field = place.querySelector(".said");
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const found = words(form);
      if (place.dataset.adds && bareAlone(found.said)) found.said += ` ${place.dataset.adds}`;
      ask(place, add("reading", { gauge: place.dataset.gauge, ...found }, form));
    });
    box.querySelector(".keep").addEventListener("click", () => { box.hidden = true; });
    box.querySelector(".mend").addEventListener("click", () => {
      form.dataset.mends = box.dataset.of;
      field.value = entries.find((one) => one.id === box.dataset.of)?.words.said ?? "";
      box.hidden = true;
      field.focus();
      field.select();
    });
  }
  for (const form of document.querySelectorAll(".kind form")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      add(form.dataset.kind, words(form), form);
      form.closest("details").open = false;
    });
  }
  who.addEventListener("change", () => {
    document.querySelectorAll("form input[name=who]").forEach((one) => { one.value = who.value; });
    keep();
  });
  find("take").addEventListener("click", () => save(new Blob([block.value], { type: "text/plain" }), `${body.site} log ${stamp(new Date()).slice(0, 10)}.txt`));
  find("copy").addEventListener("click", () => { block.select(); document.execCommand("copy"); state.textContent = "Copied."; });
  find("clear").addEventListener("click", () => { find("sure").hidden = false; find("clear-yes").focus(); });
  find("clear-yes").addEventListener("click", () => {
    join();
    entries.forEach((one) => gone.add(one.id));
    entries = [];
    keep();
    find("sure").hidden = true;
    state.textContent = "Begun anew.";
    show();
  });
  restore();
  const again = () => {
    const known = entries.length;
    join();
    if (entries.length !== known) restore();
  };
  window.addEventListener("storage", again);
  setTimeout(again, 500);
})();
