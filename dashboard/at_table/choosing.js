// Choosing the player and the balls: what is offered, what was counted before, or balls set by hand.

import { frame } from "./drawn.js";
import { Feeds, missing, radio } from "./feeds.js";
import { balls, beginning, isDone } from "./phone.js";
import { answerOf } from "./sending.js";
import { count, fedBalls, kindOf, nameOf, wayOf } from "./words.js";

const OFFERS_PATIENCE_MS = 10_000;
/** Of a combination with more balls the others are counted. */
const MOST_DRAWN = 4;

export class Choosing {
  constructor(section, phone, start, { begun, goOn }) {
    Object.assign(this, { section, phone, begun, goOn, offers: [], clubDay: start.today });
    this.part = (selector) => section.querySelector(selector);
    this.feeds = new Feeds(this.part("#feeds"), document.getElementById("feed"), this.part("#add-feed"), (number) => {
      this.part("#orders").hidden = number < 2;
    });
    this.feeds.learn(start.setups);
    this.part("#player").append(...byGroup(start.players));
    this.part("#invented").hidden = !start.is_invented;
    this.part("#coach").value = start.account.role === "player" ? "" : start.account.name;
    this.part("#player").addEventListener("change", () => this.#offer());
    for (const id of ["#offers", "#making"]) this.part(id).addEventListener("input", () => (this.isTouched = true));
    this.part("#block").addEventListener("submit", (event) => {
      event.preventDefault();
      this.#begin();
    });
    this.last = phone.blocks.map(ballsOf).at(-1);
    if (start.players.length === 1) this.part("#player").value = start.players[0].code;
    this.#takeAddress(start.players);
  }

  open() {
    this.part("#session_date").value = today();
    this.part("#day-off").hidden = true;
    this.drawOpenBlocks();
    this.#offer();
  }

  /** A turn of the hall plan: its player and its balls, begun at once; what is missing is asked. */
  beginTurn(turn) {
    this.part("#player").value = turn.player;
    this.offers = [turn];
    this.#drawOffers();
    this.#take(turn);
    return this.#begin() !== undefined;
  }

  drawOpenBlocks() {
    const open = this.phone.blocks.filter((block) => !isDone(block));
    this.part("#open-blocks").hidden = !open.length;
    this.part("#open-blocks ul").replaceChildren(...open.map((block) => this.#openBlock(block)));
  }

  #openBlock(block) {
    const { values, feeds } = beginning(block);
    const text = `${nameOf(values.player)}: ${count(balls(block).length, "ball")} so far. ${fedBalls(feeds)}`;
    const item = document.createElement("li");
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: `Go on with ${text}` });
    button.addEventListener("click", () => this.goOn(block));
    item.append(button);
    return item;
  }

  async #offer() {
    const player = this.part("#player").value;
    this.part("#player-missing").hidden = true;
    this.isTouched = false;
    this.offers = this.#sameAgain(player);
    this.#drawOffers();
    if (!player) return;
    const block = this.asked?.player === player ? this.asked.block : "";
    const question = new URLSearchParams({ player, block });
    const { reply } = await answerOf(`/table/offers?${question}`, OFFERS_PATIENCE_MS);
    if (!reply || this.part("#player").value !== player || this.section.hidden) return;
    const isAsked = block !== "" && reply.offers[0]?.planned === block;
    this.offers = isAsked ? [...reply.offers, ...this.offers] : [...this.offers, ...reply.offers];
    this.#drawOffers();
  }

  /** The planned block that a code on paper names stands in the address of the page; it is asked for once. */
  #takeAddress(players) {
    const named = new URLSearchParams(location.search);
    const player = players.find(({ code }) => code === named.get("player"));
    if (!player) return;
    this.asked = { player: player.code, block: named.get("block") ?? "" };
    this.part("#player").value = player.code;
    history.replaceState(null, "", location.pathname);
  }

  /** The block that was counted last on this phone, for whoever wants the same balls again. */
  #sameAgain(player) {
    return this.last && player ? [{ text: "The same balls again", ...this.last }] : [];
  }

  #drawOffers() {
    const by_hand = radio("offer", "", "Other balls, set by hand", false);
    const labels = this.offers.map((offer, i) => radio("offer", i, offered(offer), false));
    this.part("#offers .stack").replaceChildren(...labels, by_hand);
    this.part("#offers").hidden = !this.offers.length;
    const choices = [...this.section.querySelectorAll("[name=offer]")];
    for (const input of choices) input.addEventListener("change", () => this.#take(this.offers[input.value]));
    // Offers that come late over a slow network must not wipe out what was set by hand meanwhile.
    (this.isTouched ? choices.at(-1) : choices[0]).checked = true;
    if (!this.isTouched) this.#take(this.offers[0]);
  }

  /** The balls of an offer stand in the form, where they can be changed; what is missing is asked. */
  #take(offer) {
    this.taken = offer;
    this.feeds.fill(offer?.feeds ?? []);
    const order = offer?.order === "random" ? "random" : "serial";
    this.part(`[name=order][value=${order}]`).checked = true;
    this.part("#making").open = this.part("#player").value !== "" && (!offer || missing(offer.feeds) !== "");
    this.part("#balls-missing").hidden = true;
  }

  #begin() {
    const player = this.part("#player").value;
    const feeds = this.feeds.read();
    const lacking = missing(feeds);
    this.part("#player-missing").hidden = Boolean(player);
    this.part("#balls-missing").hidden = !lacking;
    this.part("#balls-missing").textContent = lacking;
    if (!player) return void this.part("#player").focus();
    if (lacking) {
      this.part("#making").open = true;
      return void this.part("#feeds :is(select, input)").focus();
    }
    if (this.#asksForDay()) return void this.part("#day-off input").focus();
    const order = feeds.length === 1 ? "blocked" : this.part("[name=order]:checked").value;
    const field = (id) => this.part(`#${id}`).value.trim() || null;
    const about = Object.fromEntries(["session_date", "session", "coach", "probe"].map((id) => [id, field(id)]));
    const values = { ...about, session_date: about.session_date ?? today(), player, order };
    const block = this.phone.begin(values, feeds, this.#ofTheOffer(feeds));
    this.last = ballsOf(block);
    this.asked = null;
    this.begun(block);
    return block;
  }

  /** A phone whose day is not the club's may be set wrong: the day is asked for, unless it was chosen. */
  /** What of the offer still holds: nothing where its balls were changed by hand. */
  #ofTheOffer(feeds) {
    const isAsOffered = this.taken && asText(this.taken.feeds) === asText(feeds);
    return isAsOffered ? { drawn: this.taken.drawn, wanted: this.taken.balls, calls: this.taken.calls } : {};
  }

  #asksForDay() {
    const own = today();
    const asked = this.part("#day-off");
    if (!this.clubDay || own === this.clubDay || this.part("#session_date").value !== own) return false;
    if (!asked.hidden && asked.querySelector(":checked")) return false;
    const choices = [
      [this.clubDay, `${this.clubDay}, as the club's computer has it`],
      [own, `${own}, as this phone has it`],
    ].map(([day, text]) => radio("day", day, text, false));
    asked.querySelector(".stack").replaceChildren(...choices);
    asked.addEventListener("change", (event) => (this.part("#session_date").value = event.target.value));
    asked.hidden = false;
    return true;
  }
}

function ballsOf(block) {
  const { values, feeds } = beginning(block);
  return { feeds, order: values.order, drawn: block.drawn };
}

/** Balls as one text, whatever the order of their words. */
const asText = (feeds) => JSON.stringify(feeds.map((feed) => Object.entries(feed).sort()));

/** An offer: why it is one, then each of its balls as a drawing with two lines of words. */
function offered({ text, feeds, drawn }) {
  const rows = feeds.slice(0, MOST_DRAWN).map((feed, i) => ball(feed, drawn?.[i], feeds.length > 1 ? `${i + 1}: ` : ""));
  const more = feeds.length > MOST_DRAWN ? [part("small", "", `and ${feeds.length - MOST_DRAWN} more`)] : [];
  return part("span", feeds.length > 1 ? "offer several" : "offer", part("small", "", text), ...rows, ...more);
}

function ball(feed, drawn, number) {
  const words = part("span", "words", part("b", "", number + kindOf(feed)), part("span", "", wayOf(feed)));
  return part("span", "ball", frame(drawn), words);
}

function part(name, className, ...inside) {
  const made = Object.assign(document.createElement(name), { className });
  made.append(...inside);
  return made;
}

function byGroup(players) {
  const groups = new Map();
  for (const player of players) {
    const group = player.group ?? "No group";
    groups.set(group, [...(groups.get(group) ?? []), new Option(player.name, player.code)]);
  }
  return [...groups].map(([label, options]) => {
    const optgroup = Object.assign(document.createElement("optgroup"), { label });
    optgroup.append(...options);
    return optgroup;
  });
}

/** The day on this phone's calendar. */
function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
