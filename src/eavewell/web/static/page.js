// What could not be sent stays on the page, is told, and is sent again once the server answers;
// what the server refuses without a place of its own on the page is told as well.
"use strict";
(() => {
  const EVERY_MS = 2000;
  const unsent = new Set();
  let asking = 0;

  function notice(says) {
    const told = document.createElement("div"), words = document.createElement("p");
    words.textContent = says;
    told.id = "lost";
    told.setAttribute("role", "alert");
    told.append(words);
    document.getElementById("lost")?.remove();
    document.getElementById("notes").after(told);
  }

  function unanswered() {
    const kept = unsent.size ? "What you changed stands here and will be sent as soon as it does." : "Nothing can be changed until it does.";
    notice(`The server of these pages does not answer: is it running? ${kept}`);
    if (!asking) asking = setInterval(again, EVERY_MS);
  }

  function again() {
    fetch("/things/mark.svg", { cache: "no-store" }).then((answer) => {
      if (!answer.ok || !asking) return;
      clearInterval(asking);
      asking = 0;
      document.getElementById("lost")?.remove();
      const waiting = [...unsent].filter((one) => one.isConnected);
      unsent.clear();
      for (const one of waiting) htmx.trigger(one, one.matches("fieldset") ? "settled" : "change");
      document.dispatchEvent(new Event("answers-again"));
    }).catch(() => {});
  }

  document.addEventListener("htmx:sendError", (event) => {
    const { elt } = event.detail;
    if (elt.matches?.(".entry, .entry input, .entry select")) unsent.add(elt);
    unanswered();
  });
  document.addEventListener("htmx:responseError", (event) => {
    const { xhr } = event.detail;
    const read = new DOMParser().parseFromString(xhr.responseText, "text/html");
    notice(read.body.textContent.trim() || `The server refused that: ${xhr.status}.`);
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful && !asking) document.getElementById("lost")?.remove();
  });
  // a refusal has been read once something else is typed
  document.addEventListener("input", () => document.querySelector("#notes > .fault")?.remove());
  addEventListener("beforeunload", (event) => { if (unsent.size) event.preventDefault(); });
})();
