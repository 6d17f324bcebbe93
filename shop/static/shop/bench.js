// The bench: the drawing shows which measure the cursor is in, the keyboard follows the unit chosen, and what is said
// of a product follows the product.
"use strict";

function point(name, on) {
  const drawing = document.querySelector("[data-drawing]");
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

// Drawing, numbers given and edge guard are those of the product chosen; what has been typed stays.
const product = document.querySelector("select[name=product]");

async function follow() {
  const answer = await fetch(`?product=${encodeURIComponent(product.value)}`);
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const part of document.querySelectorAll("[data-of-product]")) {
    const fresh = page.getElementById(part.id);
    if (fresh) part.replaceChildren(...fresh.childNodes);
    if (fresh && fresh.dataset.following) propose(part, fresh.dataset.following);
  }
}

// The number proposed is the product's next one; one that was typed stays.
function propose(part, following) {
  const number = document.querySelector("input[name=number]");
  if (number && (!number.value || number.value === part.dataset.following)) number.value = following;
  part.dataset.following = following;
}

if (product) product.addEventListener("change", () => follow().catch(() => {}));
