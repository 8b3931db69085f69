// What this phone keeps: blocks with their taps, each until the club's computer has it on its disk.

/** 128 random bits as hexadecimal digits. crypto.randomUUID is missing where the page came without TLS. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** A block that is kept; null where it cannot be read: it stays where it is, and the others go on. */
function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

/**
 * The blocks of one account on this phone. A block is one entry of localStorage, written whole with every tap:
 * {block, begun, entries: [{event, at, saved}], held, drawn, wanted, calls}. Entries stand in the order in which they are to be sent.
 */
export class Phone {
  constructor(club, account) {
    this.prefix = `halflong.table.${club}.${account}.`;
    this.account = account;
    this.blocks = this.#read();
    this.isFull = false;
    this.tab = newId();
    this.tabKey = `halflong.table.${club}.tab`;
  }

  #read() {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(this.prefix));
    return keys.map(read).filter(Boolean).sort((one, other) => one.begun - other.begun);
  }

  /** Keep a block as it is now; `isFull` tells that the phone has no room for it. */
  #keep(block) {
    try {
      localStorage.setItem(this.prefix + block.block, JSON.stringify(block));
      this.isFull = false;
    } catch {
      this.isFull = true;
    }
  }

  /** Two tabs would number the taps of one block twice: the tab that was opened last is the one that counts. */
  takeOver() {
    this.blocks = this.#read();
    try {
      localStorage.setItem(this.tabKey, this.tab);
    } catch {
      this.isFull = true;
    }
  }

  isElsewhere() {
    return !this.isFull && localStorage.getItem(this.tabKey) !== this.tab;
  }

  #add(block, event) {
    block.entries.push({ event: { ...event, id: newId(), block: block.block }, at: Date.now(), saved: false });
    this.#keep(block);
  }

  /** `about`: what only this phone keeps of the block, its drawings, how many balls are wanted and in which order. */
  begin(values, feeds, about = {}) {
    const block = { ...about, block: newId(), begun: Date.now(), entries: [], held: null };
    this.blocks.push(block);
    this.#add(block, { kind: "begin", values, feeds });
    return block;
  }

  draw(block, drawn) {
    if (!this.blocks.includes(block)) return;
    block.drawn = drawn;
    this.#keep(block);
  }

  ball(block, outcome, feed) {
    this.#add(block, { kind: "ball", place: taps(block).length + 1, feed, outcome });
  }

  undo(block, entry) {
    this.#add(block, { kind: "undo", place: taps(block).length + 1, undoes: entry.event.id });
  }

  done(block, closing) {
    this.#add(block, { kind: "done", taps: taps(block).length, ...closing });
  }

  waiting() {
    return this.blocks.flatMap((block) => block.entries.filter((entry) => !entry.saved));
  }

  /** The next events to send. A block that is held waits until somebody asks again. */
  toSend(most) {
    const sendable = this.blocks.filter((block) => !block.held);
    return sendable.flatMap((block) => block.entries.filter((entry) => !entry.saved)).slice(0, most);
  }

  settle(savedIds, held) {
    const saved = new Set(savedIds);
    const whys = new Map(held.map((one) => [one.id, one]));
    for (const block of this.blocks) {
      const before = JSON.stringify(block);
      for (const entry of block.entries) {
        entry.saved ||= saved.has(entry.event.id);
      }
      const whyHeld = block.entries.map((entry) => whys.get(entry.event.id)).find(Boolean);
      if (whyHeld?.is_block_unknown && block.entries[0].saved) {
        // The club's computer was set back to an older state: what it has lost is sent once more.
        block.entries.forEach((entry) => (entry.saved = false));
      } else if (whyHeld) {
        block.held = whyHeld.why;
      }
      if (JSON.stringify(block) !== before) this.#keep(block);
    }
  }

  askAgain() {
    for (const block of this.blocks.filter((one) => one.held)) {
      block.held = null;
      this.#keep(block);
    }
  }

  /** A block that is in the log, or was thrown away, need not be kept here any longer. */
  forgetSettled(states) {
    const settled = new Set(states.filter((one) => ["in_log", "dropped"].includes(one.state)).map((one) => one.block));
    for (const { block } of this.blocks.filter((one) => settled.has(one.block) && isAllSaved(one) && isDone(one))) {
      localStorage.removeItem(this.prefix + block);
    }
    this.blocks = this.blocks.filter((one) => !(settled.has(one.block) && isAllSaved(one) && isDone(one)));
  }
}

/** Taps of other accounts that wait on this phone. */
export function waitingOfOthers(club, account) {
  const own = `halflong.table.${club}.${account}.`;
  const keys = Object.keys(localStorage).filter((key) => key.startsWith(`halflong.table.${club}.`));
  const others = keys.filter((key) => !key.startsWith(own) && !key.endsWith(".tab"));
  return others.flatMap((key) => read(key)?.entries.filter((entry) => !entry.saved) ?? []).length;
}

export const beginning = (block) => block.entries[0].event;
export const isDone = (block) => block.entries.at(-1).event.kind === "done";
export const isAllSaved = (block) => block.entries.every((entry) => entry.saved);

export function taps(block) {
  return block.entries.filter((entry) => ["ball", "undo"].includes(entry.event.kind));
}

/** The balls that count, in their order. */
export function balls(block) {
  const undone = new Set(block.entries.map((entry) => entry.event.undoes));
  return block.entries.filter((entry) => entry.event.kind === "ball" && !undone.has(entry.event.id));
}

/** How long the block took by this phone's clock, in half minutes; empty where that cannot be. */
export function minutes(block) {
  const taken = Math.max(0.5, Math.round((block.entries.at(-1).at - block.begun) / 30000) / 2);
  return taken <= 300 ? taken : null;
}
