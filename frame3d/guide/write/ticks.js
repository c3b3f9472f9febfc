// Ticks stay when the page is opened again, where the browser lets a page keep something.
(function () {
  "use strict";
  var key = "ticks of " + document.body.dataset.guide;
  var boxes = Array.from(document.querySelectorAll("input[type=checkbox]"));
  function kept() {
    try { return JSON.parse(window.localStorage.getItem(key)) || {}; } catch (error) { return {}; }
  }
  function keep(ticks) {
    try { window.localStorage.setItem(key, JSON.stringify(ticks)); } catch (error) { /* not kept */ }
  }
  var ticks = kept();
  boxes.forEach(function (box) {
    box.checked = ticks[box.id] === true;
    box.addEventListener("change", function () {
      var now = kept();
      now[box.id] = box.checked;
      keep(now);
    });
  });
  var button = document.createElement("button");
  button.type = "button";
  button.textContent = "Clear all ticks";
  button.addEventListener("click", function () {
    boxes.forEach(function (box) { box.checked = false; });
    keep({});
  });
  document.querySelector("main").appendChild(button);
})();
