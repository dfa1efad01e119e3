"use strict";
/* What a page without a server hands back: lines with a checksum, as files/field/block.py reads them, and a file of them. */
(function () {
  /* the lines of a text that another program may have folded; opens : what begins a paragraph */
  function handedBack(told, opens, end) {
    const lines = told.map((line) => line.replace(/[\s\u0000-\u001f\u0085]+/g, " ").trim());
    return [...lines.map((line) => opens.test(line) ? `\n${line}` : line), "", `check: ${crc(lines.join("\n"))}`, end, ""].join("\n");
  }

  function crc(text) {
    let sum = ~0;
    for (const byte of new TextEncoder().encode(text)) {
      sum ^= byte;
      for (let bit = 0; bit < 8; bit += 1) sum = sum >>> 1 ^ (sum & 1 ? 0xedb88320 : 0);
    }
    return (~sum >>> 0).toString(16).padStart(8, "0");
  }

  function save(data, name) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(data);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  globalThis.eavewellWayBack = { handedBack, save };
}());
