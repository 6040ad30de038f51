"use strict";
(function () {
  var box = document.getElementById("slider");
  if (!box) { return; }
  var input = document.getElementById("gust");
  var said = document.getElementById("said");
  var limit = Number(box.dataset.limit);
  var missing = Number(box.dataset.missing);
  var clear = Number(box.dataset.clear);
  var storm = Number(box.dataset.storm);
  var unit = " " + box.dataset.unit;
  function side(gust, most) { return gust <= most ? "within" : "over"; }
  function show() {
    var gust = Number(input.value);
    var people = gust >= clear ? "people are out of the zone" :
      gust >= storm ? "people are out where thunderstorms are forecast" : "under the clear-out gust";
    var words = gust + unit + ": " + side(gust, limit) + " its limit as drawn, " + side(gust, missing) +
      " with one brace gone; " + people;
    said.textContent = words;
    input.setAttribute("aria-valuetext", words);
    document.querySelectorAll("[data-limit][data-at]").forEach(function (cell) {
      cell.textContent = side(gust, Number(cell.dataset.limit)) + " at " + gust + unit;
    });
  }
  box.hidden = false;
  document.querySelectorAll(".live").forEach(function (cell) { cell.hidden = false; });
  input.addEventListener("input", show);
  show();
})();
