// Counting one block: five buttons, undo, and what was counted.

import { radio } from "./feeds.js";
import { balls, beginning } from "./phone.js";
import { count, fedBall, fedBalls, nameOf } from "./words.js";

const SPOKEN_AFTER_MS = 500;
const LATELY = 6;

export class Counting {
  constructor(section, phone, { tapped, finish }) {
    Object.assign(this, { section, phone, tapped });
    this.part = (selector) => section.querySelector(selector);
    for (const button of section.querySelectorAll("[data-outcome]")) {
      button.addEventListener("click", () => this.#tap(button.dataset.outcome));
    }
    this.part("#undo").addEventListener("click", () => this.#undo());
    this.part("#finish").addEventListener("click", () => finish(this.block));
  }

  open(block) {
    const { values, feeds } = beginning(block);
    Object.assign(this, { block, feeds, inTurn: values.order !== "random" });
    this.part("h1").textContent = nameOf(values.player);
    this.part("#balls-fed").textContent = feeds.length === 1 ? fedBalls(feeds) : count(feeds.length, "ball") + " in a combination";
    this.part("#which-feed").hidden = feeds.length === 1;
    this.part("#which-feed .chips").replaceChildren(...feeds.map((feed, i) => radio("feed", i + 1, `${i + 1}: ${fedBall(feed)}`, false)));
    this.#draw();
    keepAwake();
  }

  #feed() {
    return Number(this.part("#which-feed input:checked")?.value ?? 1);
  }

  /** Where the balls follow each other in turn, the next one is known. */
  nextFeed() {
    const last = balls(this.block).at(-1)?.event.feed;
    const next = last === undefined ? 1 : this.inTurn ? (last % this.feeds.length) + 1 : last;
    this.#choose(next);
  }

  #choose(feed) {
    const input = this.part(`#which-feed input[value="${feed}"]`);
    input.checked = true;
    input.parentElement.scrollIntoView({ block: "nearest", inline: "start" });
  }

  #tap(outcome) {
    if (!this.tapped()) return;
    this.phone.ball(this.block, outcome, this.#feed());
    navigator.vibrate?.(12);
    this.nextFeed();
    this.#draw();
    this.#say(outcome);
  }

  #undo() {
    const last = balls(this.block).at(-1);
    if (!last || !this.tapped()) return;
    this.phone.undo(this.block, last);
    this.#choose(last.event.feed);
    this.#draw();
    this.#say(`${last.event.outcome} undone`);
  }

  #draw() {
    const outcomes = balls(this.block).map((entry) => entry.event.outcome);
    const of = (outcome) => outcomes.filter((one) => one === outcome).length;
    this.part("#count strong").textContent = outcomes.length;
    this.part("#count span").textContent = `${of("good")} good`;
    this.part("#lately").textContent = outcomes.length ? `Lately: ${outcomes.slice(-LATELY).join(", ")}` : "";
    for (const button of this.section.querySelectorAll("[data-outcome]")) {
      button.querySelector("span").textContent = of(button.dataset.outcome);
    }
    this.part("#undo").disabled = !outcomes.length;
    this.part("#undo").textContent = outcomes.length ? `Undo ${outcomes.at(-1)}` : "Undo";
  }

  /** For a screen reader, and not faster than it can be heard. */
  #say(what) {
    clearTimeout(this.speaking);
    this.speaking = setTimeout(() => {
      const counted = balls(this.block);
      const good = counted.filter((entry) => entry.event.outcome === "good").length;
      document.getElementById("spoken").textContent = `${what}. ${count(counted.length, "ball")}, ${good} good.`;
    }, SPOKEN_AFTER_MS);
  }
}

/** Only browsers that came through TLS can keep the screen on. */
async function keepAwake() {
  try {
    await navigator.wakeLock?.request("screen");
  } catch {
    // The phone is short of power, and goes to sleep as it likes.
  }
}
