"use strict";
/* The level book, as files/field/levelling.py reckons it; both are tried with the same books. */
(function () {
  const MARKS = { "ft": .3048, "feet": .3048, "foot": .3048, "'": .3048, "in": .0254, "inch": .0254, "inches": .0254, "\"": .0254, "m": 1, "cm": .01, "mm": .001 };
  const TERM = /^(?:(\d+)[ -](\d+)\/(\d+)|(\d+)\/(\d+)|(\d*\.?\d+|\d+\.))\s*([a-z'"]*)\s*/;

  /* a rod reading in m: "4.32", "4 ft 3-7/8 in", "1.317 m"; null for none, NaN where it is none */
  function rodMetres(typed, unit) {
    let rest = typed.replace(/[′’]/g, "'").replace(/[″”]/g, "\"").replace(/ft\.|in\./g, (mark) => mark.slice(0, 2)).toLowerCase().trim();
    if (!rest) return null;
    if (/^(\d+\.?\d*|\.\d+)$/.test(rest)) return Number(rest) * MARKS[unit];
    let sum = 0;
    while (rest) {
      const found = TERM.exec(rest);
      if (!found || !MARKS[found[7]]) return NaN;
      const [, whole, over, under, top, low, plain] = found;
      const count = plain ? Number(plain) : whole ? Number(whole) + over / under : top / low;
      sum += count * MARKS[found[7]];
      rest = rest.slice(found[0].length);
    }
    return sum;
  }

  /* book: [{point, back, fore}] in m; allowed: mm a set-up. Levels, heights, what it misses. */
  function levelled(book, allowed) {
    if (!book.length || book[0].back === null) return { says: "The book must begin with a backsight on the datum." };
    const known = new Map([[book[0].point, 0]]), heights = [], raw = [];
    let missed = null;
    for (const [row, one] of book.entries()) {
      let level;
      if (one.fore !== null) {
        if (!heights.length) return { says: "The book must begin with a backsight on the datum." };
        level = heights[heights.length - 1] - one.fore;
        missed = known.has(one.point) ? level - known.get(one.point) : null;
        if (!known.has(one.point)) known.set(one.point, level);
      } else if (one.back === null) return { says: `Line ${row + 1} of the book has no reading.` };
      else if (!known.has(one.point)) return { says: `Line ${row + 1}: a backsight on '${one.point}', whose level is not known.` };
      else level = known.get(one.point);
      raw.push([level, heights.length]);
      if (one.back !== null) heights.push(level + one.back);
    }
    const most = allowed / 1000 * Math.sqrt(heights.length);
    const closes = missed !== null && Math.abs(missed) <= most + 1e-9;
    const levels = raw.map(([level, at]) => closes ? level - missed * at / heights.length : level);
    return { levels, heights, missed, most, closes };
  }

  globalThis.eavewellLevels = { rodMetres, levelled };
})();
