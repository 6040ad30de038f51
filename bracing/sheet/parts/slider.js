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
  var words = JSON.parse(box.dataset.words);
  function side(gust, most) { return gust <= most ? words["slider-within"] : words["slider-over"]; }
  function show() {
    var gust = Number(input.value);
    var people = words[gust >= clear ? "slider-out" : gust >= storm ? "slider-storm" : "slider-under"];
    var told = gust + unit + ": " + side(gust, limit) + words["slider-as-drawn"] + side(gust, missing) +
      words["slider-one-gone"] + people;
    said.textContent = told;
    input.setAttribute("aria-valuetext", told);
    document.querySelectorAll("[data-limit][data-at]").forEach(function (cell) {
      cell.textContent = side(gust, Number(cell.dataset.limit)) + words["slider-at"] + gust + unit;
    });
  }
  box.hidden = false;
  document.querySelectorAll(".live").forEach(function (cell) { cell.hidden = false; });
  input.addEventListener("input", show);
  show();
})();
