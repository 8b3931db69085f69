// The page beside the table: which part of it is shown, and what passes between the parts.

import { Choosing } from "./choosing.js";
import { Counting } from "./counting.js";
import { InTurn } from "./in_turn.js";
import { Phone, balls, beginning, isDone, minutes, waitingOfOthers } from "./phone.js";
import { Sender, answerOf } from "./sending.js";
import { drawBlocks, drawSyncStatus, drawTrouble } from "./sync_status.js";
import { count, learn } from "./words.js";

const LAST_START = "halflong.last-start";
/** Names of players do not stay on a phone for longer than an evening in the hall. */
const START_HOLDS_MS = 12 * 3600 * 1000;
const byId = (id) => document.getElementById(id);
const everyMs = Number(document.body.dataset.everyMs);
const patienceMs = Number(document.body.dataset.patienceMs);

let trouble = {};
/** How hard the session was is asked once of each player on a day. */
const ASKED_EFFORT = "halflong.asked-effort";
let phone, sender, choosing, counting, inTurn;

function show(id) {
  for (const section of document.querySelectorAll("main > section")) section.hidden = section.id !== id;
  byId(id).querySelector("h1").focus();
  scrollTo(0, 0);
}

function draw() {
  const waiting = phone.waiting().length;
  drawSyncStatus(byId("sync-status"), waiting, trouble.trouble || phone.isFull);
  const held = phone.blocks.map((block) => block.held).find(Boolean);
  drawTrouble(byId("trouble"), phone.isFull ? { trouble: "full" } : trouble, held, () => {
    phone.askAgain();
    sender.turn();
  });
  if (phone.isElsewhere() && byId("elsewhere").hidden) show("elsewhere");
}

function sent(answer) {
  trouble = answer;
  if (answer.reply) {
    const open = new Set(phone.blocks.map((block) => block.block));
    drawBlocks(byId("my-blocks"), answer.reply.blocks, open, (path, block) => sender.ask(path, { block: block.block }));
    choosing.clubDay = answer.reply.today;
    choosing.drawOpenBlocks();
  }
  draw();
}

/** Whether this tab is the one that counts. */
function mayTap() {
  queueMicrotask(draw);
  return !phone.isElsewhere();
}

function choose() {
  choosing.open();
  inTurn.open(choosing.clubDay);
  show("choosing");
}

function countIn(block) {
  counting.open(block);
  show("counting");
  counting.nextFeed();
}

/** A block that was just begun waits to be saved like any tap. */
function begun(block) {
  countIn(block);
  draw();
  sender.turn();
}

function finish(block) {
  const counted = balls(block);
  const good = counted.filter((entry) => entry.event.outcome === "good").length;
  byId("result").textContent = `${count(counted.length, "ball")}, ${good} good.`;
  byId("closing").reset();
  byId("minutes").value = minutes(block) ?? "";
  byId("closing-wrong").hidden = true;
  for (const id of ["effort", "effort-asked"]) byId(id).hidden = askedEffort().includes(sessionOf(block));
  byId("closing").onsubmit = (event) => {
    event.preventDefault();
    close(block);
  };
  byId("count-on").onclick = () => countIn(block);
  byId("drop").onclick = () => end(block, { is_dropped: true });
  show("finishing");
}

function close(block) {
  const wrong = ["minutes", "effort"].find((id) => !byId(id).checkValidity());
  byId("closing-wrong").hidden = !wrong;
  if (wrong) {
    const { min, max } = byId(wrong);
    byId("closing-wrong").textContent = `Expected ${wrong} from ${min} to ${max}, in steps of a half, or nothing.`;
    byId(wrong).focus();
    return;
  }
  sessionStorage.setItem(ASKED_EFFORT, JSON.stringify([...askedEffort(), sessionOf(block)]));
  const number = (id) => (byId(id).value === "" ? null : Number(byId(id).value));
  end(block, { minutes: number("minutes"), effort: number("effort"), note: byId("note").value.trim() || null });
}

const askedEffort = () => JSON.parse(sessionStorage.getItem(ASKED_EFFORT)) ?? [];

function sessionOf(block) {
  const { player, session_date, session } = beginning(block).values;
  return [player, session_date, session].join(" ");
}

function end(block, closing) {
  if (!mayTap()) return;
  phone.done(block, closing);
  sender.turn();
  choose();
}

/** What the page needs from the club's computer; what it was told last, where there is no connection. */
async function askStart() {
  const answer = await answerOf("/table/start", patienceMs);
  if (answer.reply) return keptStart(answer.reply);
  if (answer.trouble === "signed_out") localStorage.removeItem(LAST_START);
  const last = JSON.parse(localStorage.getItem(LAST_START));
  const mayDo = answer.trouble === "no_connection" && last && Date.now() - last.at < START_HOLDS_MS;
  return mayDo ? last.start : answer;
}

function keptStart(start) {
  try {
    localStorage.setItem(LAST_START, JSON.stringify({ at: Date.now(), start }));
  } catch {
    // Without room it cannot be opened without a network; the phone tells of the room when it has something to keep.
  }
  return start;
}

async function open() {
  const start = await askStart();
  if (start.trouble) {
    drawTrouble(byId("trouble"), start, null, null);
    setTimeout(open, 4 * everyMs);
    return;
  }
  learn(start);
  phone = new Phone(start.club, start.account.number);
  phone.takeOver();
  counting = new Counting(byId("counting"), phone, { tapped: mayTap, finish });
  choosing = new Choosing(byId("choosing"), phone, start, { begun, goOn: countIn });
  inTurn = new InTurn(byId("in-turn"), (turn) => choosing.beginTurn(turn));
  sender = new Sender(phone, { everyMs, patienceMs }, sent);
  byId("here").addEventListener("click", () => location.reload());
  addEventListener("storage", draw);
  tellOfOthers(waitingOfOthers(start.club, start.account.number));
  const unfinished = phone.blocks.filter((block) => !isDone(block));
  if (unfinished.length === 1) countIn(unfinished[0]);
  else choose();
  draw();
  sender.turn();
}

function tellOfOthers(waiting) {
  if (!waiting) return;
  const sentence = `${count(waiting, "tap")} of somebody else wait on this phone. They are sent when that person signs in here.`;
  byId("choosing").querySelector("h1").after(Object.assign(document.createElement("p"), { className: "note", textContent: sentence }));
}

open();
// Missing where the page came without TLS.
navigator.serviceWorker?.register("/table/worker.js", { scope: "/table" }).catch(() => {});
