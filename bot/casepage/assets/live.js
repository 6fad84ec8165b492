// Keeps an open case fresh: asks now and then whether it has grown, and if so fetches
// the page and swaps what it says. Ticks of the plan stay on this device. Without this
// script the page is whole; it just does not grow by itself.
(function () {
  "use strict";
  var body = document.body, every = 5000, shelf = "plan of case " + body.dataset.case;

  function ticked() {
    try { return JSON.parse(localStorage.getItem(shelf)) || []; } catch (e) { return []; }
  }
  function boxes() { return Array.from(document.querySelectorAll(".plan input")); }
  function words(box) { return box.parentElement.textContent.trim(); }
  function tick() {
    var known = ticked();
    boxes().forEach(function (b) { b.checked = known.includes(words(b)); });
  }
  document.addEventListener("change", function () {
    try { localStorage.setItem(shelf, JSON.stringify(boxes().filter(function (b) { return b.checked; }).map(words))); } catch (e) { /* a private window keeps nothing */ }
  });
  tick();

  addEventListener("beforeprint", function () { document.querySelectorAll("details").forEach(function (d) { d.open = true; }); });

  async function look() {
    if (document.hidden || !("open" in body.dataset)) return;
    var answer = await fetch(location.pathname + "/seq", { cache: "no-store" });
    if (!answer.ok || (await answer.text()).trim() === body.dataset.seq) return;
    var page = new DOMParser().parseFromString(await (await fetch(location.href, { cache: "no-store" })).text(), "text/html");
    if (!page.body.dataset.seq) return;
    var at = boxes().indexOf(document.activeElement);
    ["header", "main", "footer"].forEach(function (part) { document.querySelector(part).replaceWith(page.querySelector(part)); });
    body.dataset.seq = page.body.dataset.seq;
    if (!("open" in page.body.dataset)) delete body.dataset.open;
    tick();
    if (boxes()[at]) boxes()[at].focus();
    document.getElementById("fresh").textContent = "Brought up to date at " + new Date().toLocaleTimeString() + ".";
  }
  async function again() {
    try { await look(); } catch (e) { /* offline for a moment: the next look will tell */ }
    setTimeout(again, every);
  }
  setTimeout(again, every);
  addEventListener("grown", function () { look().catch(function () {}); });
})();
