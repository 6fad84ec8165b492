// Keeps an open case fresh: asks now and then whether the case has grown, and
// if so fetches the page and swaps its main part. Without this script the page
// is whole; it just does not grow by itself.
(function () {
  "use strict";
  var every = 5000, address = location.pathname.replace(/\/$/, "") + "/seq";
  async function look() {
    try {
      if (document.hidden) return;
      var answer = await fetch(address, { cache: "no-store" });
      if (!answer.ok || (await answer.text()).trim() === document.body.dataset.seq) return;
      var page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
      var ticked = Array.from(document.querySelectorAll(".plan input:checked"), function (b) { return b.parentElement.textContent; });
      document.querySelector("main").replaceWith(page.querySelector("main"));
      document.body.dataset.seq = page.body.dataset.seq;
      document.querySelectorAll(".plan input").forEach(function (b) { b.checked = ticked.includes(b.parentElement.textContent); });
    } catch (e) {
      // Offline for a moment: the next look will tell.
    } finally {
      setTimeout(look, every);
    }
  }
  setTimeout(look, every);
})();
