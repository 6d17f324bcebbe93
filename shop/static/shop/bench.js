// The bench: the drawing shows which measure the cursor is in, and the keyboard follows the unit chosen.
"use strict";

const drawing = document.querySelector("[data-drawing]");

function point(name, on) {
  const mark = drawing && drawing.querySelector(`[data-measure="${name}"]`);
  if (mark) mark.classList.toggle("now", on);
}

document.addEventListener("focusin", (event) => point(event.target.name, true));
document.addEventListener("focusout", (event) => point(event.target.name, false));

// A number pad is quicker in gloves, but has no stroke for fractions: only whole units get it.
function keyboard(select) {
  const mode = ["mm", "g"].includes(select.value) ? "decimal" : "text";
  for (const field of document.querySelectorAll(`[data-unit="${select.name}"]`)) field.inputMode = mode;
}

for (const select of document.querySelectorAll("select[name=length_unit], select[name=weight_unit]")) {
  select.addEventListener("change", () => keyboard(select));
}
