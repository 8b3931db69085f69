// What the drawings and the head need beyond Streamlit: words of a field by hover, focus and touch; arrow keys inside a
// map, which is one stop of the Tab key; a place that opens; which page is the current one and which filter holds, for
// who cannot see it.
"use strict";

const CELL = ".hl-map .hl-cell";
const tip = document.createElement("div");
tip.className = "hl-tip";
tip.setAttribute("aria-hidden", "true"); // A field's words are its label already.
tip.hidden = true;

const cellOf = (event) => event.target.closest?.(CELL);

function show(cell) {
  tip.textContent = cell.getAttribute("aria-label");
  tip.hidden = false;
  if (!tip.isConnected) document.body.append(tip);
  const at = cell.getBoundingClientRect();
  const size = tip.getBoundingClientRect();
  const left = at.left + at.width / 2 - size.width / 2;
  tip.style.left = `${Math.max(8, Math.min(innerWidth - size.width - 8, left))}px`;
  tip.style.top = `${at.top - size.height - 6 < 60 ? at.bottom + 6 : at.top - size.height - 6}px`;
}

const hide = () => { tip.hidden = true; };

function open(cell) {
  const place = cell.dataset.place;
  const group = cell.closest(".hl-openable");
  if (place === undefined || !group) return;
  for (const drawn of group.querySelectorAll("[data-opened]")) drawn.classList.toggle("hl-shut", drawn.dataset.opened !== place);
  for (const other of group.querySelectorAll(CELL)) other.classList.toggle("hl-open", other === cell);
}

const middle = (cell) => {
  const box = cell.getBoundingClientRect();
  return [box.left + box.width / 2, box.top + box.height / 2];
};

function nearest(from, [right, down]) {
  const [x, y] = middle(from);
  let best = null;
  let least = Infinity;
  for (const cell of from.closest(".hl-map").querySelectorAll(".hl-cell")) {
    const [u, v] = middle(cell);
    const along = (u - x) * right + (v - y) * down;
    const aside = Math.abs((u - x) * down) + Math.abs((v - y) * right);
    if (along > 2 && along + 3 * aside < least) [best, least] = [cell, along + 3 * aside];
  }
  return best;
}

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

document.addEventListener("pointerover", (event) => { const cell = cellOf(event); if (cell) show(cell); else hide(); });
document.addEventListener("focusin", (event) => { const cell = cellOf(event); if (cell) show(cell); });
document.addEventListener("focusout", hide);
document.addEventListener("scroll", hide, true);
document.addEventListener("click", (event) => { const cell = cellOf(event); if (cell) { show(cell); open(cell); } });
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") return hide();
  const cell = cellOf(event);
  if (!cell) return;
  if (event.key === "Enter" || event.key === " ") { event.preventDefault(); open(cell); }
  const to = WAYS[event.key] && nearest(cell, WAYS[event.key]);
  if (WAYS[event.key]) event.preventDefault();
  if (!to) return;
  cell.setAttribute("tabindex", "-1");
  to.setAttribute("tabindex", "0");
  to.focus();
});

function sayWhichFilterHolds() {
  for (const button of document.querySelectorAll(".st-key-hl-filters button"))
    button.setAttribute("aria-pressed", button.dataset.testid === "stBaseButton-primary");
}

function nameThePlaces() {
  const bar = document.querySelector(".st-key-hl-nav");
  if (!bar) return;
  bar.setAttribute("role", "navigation");
  bar.setAttribute("aria-label", "Pages");
  for (const link of bar.querySelectorAll("a")) {
    const isHere = link.closest("[class*=st-key-hl-i-][class*=-here]") !== null;
    if (isHere) link.setAttribute("aria-current", "page"); else link.removeAttribute("aria-current");
  }
}

let soon = 0;
new MutationObserver(() => { soon ||= setTimeout(() => { soon = 0; nameThePlaces(); sayWhichFilterHolds(); }, 100); })
  .observe(document.documentElement, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-testid"] });
