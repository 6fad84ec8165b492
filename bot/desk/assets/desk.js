// Sends a message without leaving the page, and lets the case page beside it grow at
// once. Without this script the desk works the same, a page at a time.
(function () {
  "use strict";
  function part(id, of) { return (of || document).getElementById(id); }
  // newest brings the last text to the top, so that its answer is read from the
  // beginning: cautions come first.
  function newest() {
    var thread = part("thread"), mine = thread.querySelectorAll(".theirs");
    thread.scrollTop = mine.length ? mine[mine.length - 1].offsetTop - thread.offsetTop - 8 : 0;
  }

  // adopt takes over what a fresh desk says.
  function adopt(page) {
    ["thread", "record"].forEach(function (id) { part(id).replaceWith(part(id, page)); });
    document.querySelector("#say [name=id]").value = page.querySelector("#say [name=id]").value;
    document.title = page.title;
    var shown = part("page"), next = part("page", page);
    if (shown && next && shown.title === next.title) {
      shown.contentWindow.dispatchEvent(new Event("grown"));
    } else {
      part("case").replaceWith(part("case", page));
    }
    newest();
  }

  document.addEventListener("submit", async function (event) {
    event.preventDefault();
    var form = event.target, data = new URLSearchParams(new FormData(form, event.submitter));
    var box = part("text"), buttons = document.querySelectorAll("button");
    buttons.forEach(function (b) { b.disabled = true; });
    try {
      var answer = await fetch(form.action, { method: "POST", body: data });
      if (!answer.ok) throw new Error(answer.status);
      adopt(new DOMParser().parseFromString(await answer.text(), "text/html"));
      box.value = "";
    } catch (e) {
      part("thread").insertAdjacentText("beforeend", "That did not arrive. It still stands below; send it again.");
      part("thread").scrollTop = part("thread").scrollHeight;
    }
    document.querySelectorAll("button").forEach(function (b) { b.disabled = false; });
    box.focus();
  });
  part("text").addEventListener("keydown", function (event) {
    if (event.key === "Enter" && !event.shiftKey && !event.isComposing) {
      event.preventDefault();
      if (event.target.value.trim()) part("say").requestSubmit(document.querySelector("#say button"));
    }
  });
  part("enter").hidden = false;
  newest();
})();
