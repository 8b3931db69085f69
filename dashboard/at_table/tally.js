// What was counted: how many balls of how many, how many good, each of the last ones, and the time.

import { count } from "./words.js";

const SHOWN = 30;
const LATELY = 6;

export class Tally {
  constructor(section) {
    this.part = (selector) => section.querySelector(selector);
    setInterval(() => this.#tick(), 1000);
  }

  /** `wanted`: so many balls the block is meant to have; nothing where nobody said. */
  open(begun, wanted) {
    Object.assign(this, { begun, wanted });
    this.#tick();
  }

  show(outcomes) {
    const good = outcomes.filter((one) => one === "good").length;
    this.part("#count strong").textContent = outcomes.length;
    const noun = outcomes.length === 1 ? "ball" : "balls";
    this.part("#count span").textContent = this.wanted ? `of ${count(this.wanted, "ball")}` : noun;
    this.part("#good").textContent = `${good} good`;
    this.part("#lately").textContent = outcomes.length ? `Lately: ${outcomes.slice(-LATELY).join(", ")}` : "";
    this.#draw(outcomes);
  }

  #draw(outcomes) {
    const places = Math.min(this.wanted || SHOWN, SHOWN);
    const shown = outcomes.slice(-places);
    const fields = Array.from({ length: places }, (_, i) => {
      const field = document.createElement("i");
      if (i < shown.length) field.className = shown[i] === "good" ? "good" : "other";
      return field;
    });
    this.part("#strip").replaceChildren(...fields);
  }

  #tick() {
    if (!this.begun) return;
    const seconds = Math.max(0, Math.floor((Date.now() - this.begun) / 1000));
    this.part("#clock").textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  }
}
