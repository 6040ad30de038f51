"use strict";
const form = document.getElementById("pulls");
const out = document.getElementById("lines");
const text = id => document.getElementById(id).value.trim();
const quoted = words => JSON.stringify(words);
function withUnit(words, unit) { return /^[0-9]+(\.[0-9]+)?$/.test(words) ? words + " " + unit : words; }
function told() {
  const rows = [...form.querySelectorAll("tbody tr")].map(row => [...row.querySelectorAll("input, select")]
    .map(field => field.value.trim())).filter(row => row[0]);
  const lines = ["[[pull_test]]", "name = " + quoted(text("name")), "fastener = " + quoted(text("fastener")),
    "into = " + quoted(text("into")),
    "peaks = [" + rows.map(row => quoted(withUnit(row[0], text("unit")))).join(", ") + "]",
    "boards = [" + rows.map(row => row[1] || '"?"').join(", ") + "]",
    "ends = [" + rows.map(row => quoted(row[2])).join(", ") + "]",
    "division = " + quoted(withUnit(text("division"), text("unit")))];
  if (text("scale")) {
    lines.push("lever = { scale = " + quoted(withUnit(text("scale"), "in")) + ", fastener = " +
      quoted(withUnit(text("arm"), "in")) + ", weight = " + quoted(withUnit(text("weight"), text("unit"))) +
      ", weight_at = " + quoted(withUnit(text("balance"), "in")) + " }");
  }
  if (text("depth")) { lines.push("depth = " + quoted(withUnit(text("depth"), "in"))); }
  for (const key of ["driven", "pulled"]) {
    if (text(key)) { lines.push(key + " = " + quoted(text(key).replace(/ *%?$/, "%"))); }
  }
  out.value = lines.join("\n") + "\n";
}
form.addEventListener("input", told);
document.getElementById("copy").addEventListener("click", () => { out.select(); document.execCommand("copy"); });
told();
