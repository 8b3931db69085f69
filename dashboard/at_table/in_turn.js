// The plan of the hall at this table: whose turn it is, begun with one touch.

import { answerOf } from "./sending.js";

const PATIENCE_MS = 6000;
const SHOWN = 3;
const MY_TABLE = "halflong.my-table";
const LAST_TURNS = "halflong.last-turns";

export class InTurn {
  /** `begin`: what starts a block of a turn, and tells whether it was begun. */
  constructor(part, begin) {
    Object.assign(this, { part, begin, tables: [], begun: new Set() });
    this.select = part.querySelector("select");
    takeAddress();
    this.select.addEventListener("change", () => {
      sessionStorage.setItem(MY_TABLE, this.select.value);
      this.#draw();
    });
  }

  /** What was told last stands there at once; what is new now takes its place, unless somebody is about to touch it. */
  async open(day) {
    const last = JSON.parse(sessionStorage.getItem(LAST_TURNS));
    if (last?.day === day) this.#take(last.tables);
    const { reply } = await answerOf("/table/in-turn", PATIENCE_MS);
    if (!reply) return;
    sessionStorage.setItem(LAST_TURNS, JSON.stringify({ day, tables: reply.tables }));
    this.#take(reply.tables);
  }

  #take(tables) {
    this.tables = tables;
    const mine = sessionStorage.getItem(MY_TABLE);
    this.select.replaceChildren(...tables.map((table) => new Option(table.name, table.code)));
    if (tables.some((table) => table.code === mine)) this.select.value = mine;
    this.part.hidden = !tables.length;
    this.#draw();
  }

  #draw() {
    const table = this.tables.find((one) => one.code === this.select.value);
    const next = (table?.turns ?? []).filter((turn) => !turn.isDone && !this.begun.has(keyOf(turn)));
    const items = next.slice(0, SHOWN).map((turn, place) => this.#item(turn, place));
    this.part.querySelector("ul").replaceChildren(...items);
    this.part.querySelector("p").hidden = next.length > 0;
  }

  #item(turn, place) {
    const item = document.createElement("li");
    const button = Object.assign(document.createElement("button"), { type: "button", className: place ? "turn" : "turn strong" });
    const lines = [`${turn.at} ${turn.name}`, turn.text].map((words) => Object.assign(document.createElement("span"), { textContent: words }));
    button.append(...lines);
    button.addEventListener("click", () => {
      if (this.begin(turn)) this.begun.add(keyOf(turn));
    });
    item.append(button);
    return item;
  }
}

/** The table that a code on paper names stands in the address of the page; this phone stays at it. */
function takeAddress() {
  const named = new URLSearchParams(location.search).get("station");
  if (!named) return;
  sessionStorage.setItem(MY_TABLE, named);
  history.replaceState(null, "", location.pathname);
}

const keyOf = (turn) => `${turn.at} ${turn.player}`;
