// Counting one block: the drawn table, undo, and what was counted.

import { drawingsOf, show } from "./drawn.js";
import { radio } from "./feeds.js";
import { balls, beginning } from "./phone.js";
import { Tally } from "./tally.js";
import { count, fedBall, kindOf, nameOf } from "./words.js";
import { Zones } from "./zones.js";

const SPOKEN_AFTER_MS = 500;
/** A gentle sign that all balls of a planned block are fed. */
const AT_THE_END = [160, 90, 160];
/** Kinds of a mix whose order was drawn are called by letters, as on paper. */
const LETTERS = "ABCDEFGH";
const CALLED_AHEAD = 4;

export class Counting {
  constructor(section, phone, { tapped, finish }) {
    Object.assign(this, { section, phone, tapped });
    this.part = (selector) => section.querySelector(selector);
    this.zones = new Zones(this.part("#zones"), (outcome) => this.#tap(outcome));
    this.tally = new Tally(section);
    this.part("#undo").addEventListener("click", () => this.#undo());
    this.part("#finish").addEventListener("click", () => finish(this.block));
    this.part("#which-feed").addEventListener("change", () => {
      this.#tellOrder();
      this.#showBall();
    });
  }

  open(block) {
    const { values, feeds } = beginning(block);
    Object.assign(this, { block, feeds, inTurn: values.order !== "random" });
    this.part("h1").textContent = nameOf(values.player);
    this.part("#which-feed").hidden = feeds.length === 1;
    this.part("#which-feed .chips").replaceChildren(...feeds.map((feed, i) => radio("feed", i + 1, `${this.#called(i)}: ${kindOf(feed)}`, !i)));
    this.tally.open(block.begun, block.wanted);
    this.#showBall();
    this.#draw();
    this.#askForDrawings(block, values.player);
    keepAwake();
  }

  #feed() {
    return Number(this.part("#which-feed input:checked")?.value ?? 1);
  }

  /** Where the balls follow each other in turn, or in an order that was drawn, the next one is known. */
  nextFeed() {
    const last = balls(this.block).at(-1)?.event.feed;
    const [drawn] = this.#drawnAhead();
    const after = last === undefined ? 1 : this.inTurn ? (last % this.feeds.length) + 1 : last;
    this.#choose(drawn === undefined ? after : drawn + 1);
  }

  /** The kinds of the balls to come, in an order that was drawn; none where none was, or all were fed. */
  #drawnAhead() {
    return this.block.calls?.slice(balls(this.block).length) ?? [];
  }

  #called(kind) {
    return this.block.calls?.length ? LETTERS[kind] : kind + 1;
  }

  #tellOrder() {
    const ahead = this.#drawnAhead().slice(1, CALLED_AHEAD + 1);
    const then = ahead.length ? `, then ${ahead.map((kind) => this.#called(kind)).join(" ")}` : "";
    this.part("#which-feed legend").textContent = `This ball is ${this.#called(this.#feed() - 1)}${then}`;
  }

  #choose(feed) {
    const input = this.part(`#which-feed input[value="${feed}"]`);
    input.checked = true;
    input.parentElement.scrollIntoView({ block: "nearest", inline: "start" });
    this.#tellOrder();
    this.#showBall();
  }

  #showBall() {
    const place = this.#feed() - 1;
    show(this.part("#ball-drawn"), this.block.drawn?.[place]);
    this.part("#balls-fed").textContent = fedBall(this.feeds[place]);
  }

  async #askForDrawings(block, player) {
    if (block.drawn) return;
    const drawn = await drawingsOf(this.phone.account, player, this.feeds);
    if (!drawn) return;
    this.phone.draw(block, drawn);
    if (this.block === block) this.#showBall();
  }

  #tap(outcome) {
    if (!this.tapped()) return;
    this.phone.ball(this.block, outcome, this.#feed());
    const isLast = balls(this.block).length === this.block.wanted;
    navigator.vibrate?.(isLast ? AT_THE_END : 12);
    this.nextFeed();
    this.#draw();
    this.#say(isLast ? `${outcome}. That was the last one` : outcome + this.#nextCall());
  }

  /** For whoever feeds a drawn order by ear. */
  #nextCall() {
    const [drawn] = this.#drawnAhead();
    return drawn === undefined ? "" : `. Next ${LETTERS[drawn]}: ${kindOf(this.feeds[drawn])}`;
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
    this.tally.show(outcomes);
    this.zones.show(outcomes);
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
