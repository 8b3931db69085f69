// How it stands with what was counted: on this phone, on its way, on the club's computer, in the log.

import { count, fedBalls, nameOf } from "./words.js";

const HERE = "/account/sign-in?next=%2Ftable";

/** The line at the top that is always there: all saved, or how many wait. */
export function drawSyncStatus(element, waiting, trouble) {
  element.textContent = waiting ? `${waiting} waiting` : "All saved";
  element.dataset.status = trouble && waiting ? "trouble" : waiting ? "waiting" : "saved";
}

const SENTENCES = {
  no_connection: "No connection to the club's computer. Count on: nothing is lost, it is sent as soon as there is one.",
  signed_out: "You are signed out. Sign in again: nothing is lost.",
  somebody_else: "Somebody else has signed in on this phone. Sign in as yourself again: nothing is lost.",
  server: "The club's computer cannot store this just now. Nothing is lost: it stays on this phone and is sent again.",
  full: "This phone keeps nothing more: its storage is full or blocked. Do not close this page before all is saved.",
};

/** What is in the way, said once and aloud; the same thing again stays silent. */
export function drawTrouble(element, { trouble, sentence }, held, askAgain) {
  const said = [SENTENCES[trouble], trouble === "server" ? sentence : null, held ? `Not taken: ${held}` : null];
  const text = said.filter(Boolean).join(" ");
  element.hidden = !text;
  if (element.dataset.text === text) return;
  element.dataset.text = text;
  element.textContent = text;
  if (["signed_out", "somebody_else"].includes(trouble)) {
    const link = Object.assign(document.createElement("a"), { href: HERE, textContent: "Sign in" });
    element.append(document.createElement("br"), link);
  } else if (held) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Try again" });
    button.addEventListener("click", askAgain);
    element.append(document.createElement("br"), button);
  }
}

const MOST_SHOWN = 12;
const STATES = {
  counting: "not finished",
  done: "on its way into the log",
  in_log: "in the log",
  refused: "not taken by the log",
  dropped: "thrown away",
};

const WAITS = "Counted without a coach: it stays marked as such until a coach or the coordinator accepts it.";

/** What became of the blocks that the club's computer knows; `onPhone` has the ids of those that are open here. */
export function drawBlocks(section, blocks, onPhone, ask) {
  const shown = blocks.filter((block) => !(block.state === "counting" && onPhone.has(block.block)));
  section.hidden = !shown.length;
  section.querySelector("ul").replaceChildren(...shown.slice(0, MOST_SHOWN).map((block) => item(block, ask)));
}

function item(block, ask) {
  const place = block.state === "in_log" ? ` as block ${block.number} of the session` : "";
  const by = block.is_mine ? "" : `, counted by ${block.maker}`;
  const head = `${nameOf(block.player)}, ${block.session_date}${by}: ${STATES[block.state]}${place}.`;
  const counted = `${count(block.balls, "ball")}, ${block.good} good. ${fedBalls(block.feeds)}.`;
  const li = document.createElement("li");
  li.append(Object.assign(document.createElement("strong"), { textContent: head }), ` ${counted}`);
  if (block.waits_for_coach) li.append(Object.assign(document.createElement("p"), { textContent: WAITS }));
  if (block.message && block.state !== "in_log") li.append(Object.assign(document.createElement("p"), { textContent: block.message }));
  if (block.state === "refused") li.append(button("Try again, once this is mended", () => ask("/table/again", block)));
  if (block.state === "counting") li.append(button("Finish it as it is, without its phone", () => ask("/table/finish", block)));
  return li;
}

function button(text, pressed) {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: text });
  made.addEventListener("click", pressed);
  return made;
}
