// From this phone to the club's computer: in batches, again and again, until every tap is acknowledged.

const MOST_AT_ONCE = 100;
const ASK_EVERY_TURNS = 4;

export class Sender {
  /** `answered` is called with {trouble, sentence, reply} after every turn that changed something or failed. */
  constructor(phone, { everyMs, patienceMs }, answered) {
    Object.assign(this, { phone, patienceMs, answered, isBusy: false, turns: 0 });
    setInterval(() => this.turn(), everyMs);
    addEventListener("online", () => this.turn());
    document.addEventListener("visibilitychange", () => this.turn());
  }

  async turn() {
    if (this.isBusy || this.phone.isElsewhere()) return;
    const entries = this.phone.toSend(MOST_AT_ONCE);
    if (!entries.length && this.turns++ % ASK_EVERY_TURNS) return;
    this.isBusy = true;
    try {
      this.answered(await this.#send(entries.map((entry) => entry.event)));
    } finally {
      this.isBusy = false;
    }
    if (this.phone.toSend(1).length && entries.length === MOST_AT_ONCE) this.turn();
  }

  async #send(events) {
    const answer = await this.#post("/table/taps", { account: this.phone.account, events });
    if (answer.trouble) return answer;
    this.phone.settle(answer.reply.saved, answer.reply.held);
    this.phone.forgetSettled(answer.reply.blocks);
    return answer;
  }

  /** Ask for something about a block that is already on the club's computer; whether it was done. */
  async ask(path, body) {
    const { trouble } = await this.#post(path, { account: this.phone.account, ...body });
    this.turns = 0;
    this.turn();
    return !trouble;
  }

  #post(path, body) {
    const headers = { "content-type": "application/json" };
    return answerOf(path, this.patienceMs, { method: "POST", headers, body: JSON.stringify(body) });
  }
}

/** What the club's computer answers, as {reply}; or {trouble, sentence}. Never waits for ever. */
export async function answerOf(path, patienceMs, options = {}) {
  // A network that stalls says nothing: without patience of our own the queue would wait for ever.
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), patienceMs);
  try {
    return await understood(
      await fetch(path, { ...options, redirect: "manual", cache: "no-store", signal: patience.signal }),
    );
  } catch {
    return { trouble: "no_connection" };
  } finally {
    clearTimeout(timer);
  }
}

async function understood(response) {
  if (response.type === "opaqueredirect" || response.status === 401) return { trouble: "signed_out" };
  if (response.status === 409) return { trouble: "somebody_else" };
  const text = await response.text();
  try {
    const reply = JSON.parse(text);
    return response.ok ? { reply } : { trouble: "server", sentence: reply.sentence };
  } catch {
    return { trouble: "server", sentence: text.length < 300 ? text : `It answers with ${response.status}.` };
  }
}
