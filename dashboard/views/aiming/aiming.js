// The table from above with a feeder and a target that can be moved: by mouse, finger or arrow keys (1 cm, with Shift
// 10 cm). The server draws it; while a hand moves something, only what follows at once is redrawn here: the way, the
// turn of the head, the cone and the ready place. The rest follows from the server when the hand lets go.

const DEGREES = 180 / Math.PI;
const KEYS_SETTLE_MS = 300;

export default function ({ parentElement, data, setTriggerValue }) {
  // What is held outlives a redrawing: Streamlit calls this again for every answer of the server.
  const board = (parentElement.aiming ??= new Board(parentElement));
  board.answered(data, (moved) => setTriggerValue("moved", moved));
}

const side = (value) => (value < 0 ? "left" : "right");
const inWords = (turn) => (Math.abs(turn) < 0.5 ? "straight ahead" : `${Math.abs(turn).toFixed(0)}° to the ${side(turn)}`);

class Board {
  constructor(place) {
    this.root = Object.assign(document.createElement("div"), { className: "hl-aim" });
    place.append(this.root);
    this.held = null;
    // Held on the board, not on what is drawn: a drawing that comes while something is held must not let go of it.
    this.root.addEventListener("pointerdown", (event) => this.#take(event));
    this.root.addEventListener("pointermove", (event) => this.#drag(event));
    this.root.addEventListener("pointerup", (event) => this.#letGo(event));
    this.root.addEventListener("pointercancel", () => this.#putBack());
    this.root.addEventListener("keydown", (event) => this.#key(event));
  }

  answered(data, tell) {
    this.moves ??= data.moves;
    // An answer to an earlier move would take back what was moved since, away from under the hand that goes there next.
    if (data.moves < this.moves) return;
    this.next = data;
    this.tell = (moved) => tell({ ...moved, move: ++this.moves });
    if (!this.held && !this.isWaiting) this.#drawAnew();
  }

  #drawAnew({ isNew = this.data !== this.next } = {}) {
    if (!isNew) return;
    this.data = this.next;
    this.places = structuredClone(this.data.places);
    const focused = this.root.contains(document.activeElement) ? document.activeElement.dataset.who : null;
    this.root.innerHTML = this.data.drawing;
    this.svg = this.root.querySelector("svg");
    if (focused) this.#handle(focused).focus({ preventScroll: true });
  }

  #handle(who) {
    return this.root.querySelector(`[data-who=${who}]`);
  }

  #at(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: point.y, y: point.x };
  }

  /** Where two of them lie over each other, the nearer one is taken. */
  #take(event) {
    if (event.button !== 0 || this.held || !event.target.closest("[data-who]")) return;
    const at = this.#at(event);
    const far = ({ x, y }) => Math.hypot(x - at.x, y - at.y);
    const who = far(this.places.feeder) < far(this.places.target) ? "feeder" : "target";
    const place = this.places[who];
    this.held = { who, pointer: event.pointerId, from: { ...place }, dx: place.x - at.x, dy: place.y - at.y };
    this.root.setPointerCapture(event.pointerId);
    this.#handle(who).focus({ preventScroll: true });
    event.preventDefault();
  }

  #drag(event) {
    if (event.pointerId !== this.held?.pointer) return;
    const at = this.#at(event);
    this.#put(this.held.who, at.x + this.held.dx, at.y + this.held.dy);
  }

  #letGo(event) {
    if (event.pointerId !== this.held?.pointer) return;
    const { who, from } = this.held;
    this.held = null;
    const { x, y } = this.places[who];
    if (x === from.x && y === from.y) return this.#drawAnew({ isNew: true });
    this.tell({ who, x, y });
  }

  #putBack() {
    if (!this.held) return;
    const { who, from } = this.held;
    this.held = null;
    this.#put(who, from.x, from.y);
    this.#drawAnew({ isNew: true });
  }

  #key(event) {
    if (event.key === "Escape") return this.#putBack();
    const who = event.target.dataset?.who;
    const far = event.shiftKey ? 10 : 1;
    const step = { ArrowUp: [-far, 0], ArrowDown: [far, 0], ArrowLeft: [0, -far], ArrowRight: [0, far] }[event.key];
    if (!who || !step) return;
    event.preventDefault();
    this.#put(who, this.places[who].x + step[0], this.places[who].y + step[1]);
    this.isWaiting = true;
    clearTimeout(this.soon);
    this.soon = setTimeout(() => {
      this.isWaiting = false;
      this.tell({ who, ...this.places[who] });
    }, KEYS_SETTLE_MS);
  }

  #put(who, x, y) {
    const { least, most } = this.data.bounds[who];
    const within = (value, low, high) => Math.round(Math.max(low, Math.min(high, value)));
    this.places[who] = { x: within(x, least.x, most.x), y: within(y, least.y, most.y) };
    this.#follow();
  }

  /** Redraw what follows at once; what only the server knows goes until it has answered. */
  #follow() {
    const { feeder, target } = this.places;
    const turn = Math.atan2(target.y - feeder.y, target.x - feeder.x) * DEGREES;
    const { halfWidth, endLine, nearest, readyLine, turnWords } = this.data;
    const bearings = [nearest, endLine].flatMap((x) => [-1, 1].map((side) => Math.atan2(side * halfWidth - feeder.y, x - feeder.x)));
    const [left, right] = [Math.min(...bearings), Math.max(...bearings)];
    const across = (bearing) => feeder.y + (readyLine - feeder.x) * Math.tan(bearing);
    const set = (selector, attributes) => {
      const found = this.root.querySelector(selector);
      for (const [name, value] of Object.entries(attributes)) found?.setAttribute(name, value);
    };
    set("[data-who=feeder]", { transform: `translate(${feeder.y} ${feeder.x})` });
    set("[data-who=feeder] .hl-held > g", { transform: `rotate(${-turn}) scale(15)` });
    set("[data-who=target]", { transform: `translate(${target.y} ${target.x})` });
    set(".feed", { x1: feeder.y, y1: feeder.x, x2: target.y, y2: target.x });
    set(".move", { x2: feeder.y, y2: feeder.x });
    set(".cone", { points: `${feeder.y},${feeder.x} ${across(left)},${readyLine} ${across(right)},${readyLine}` });
    set(".ready", { transform: `translate(${across((left + right) / 2)} ${readyLine})` });
    const share = turnWords / Math.hypot(target.x - feeder.x, target.y - feeder.y);
    set(".hl-turn", { x: feeder.y + (target.y - feeder.y) * share, y: feeder.x + (target.x - feeder.x) * share });
    this.root.querySelector(".hl-turn").textContent = inWords(turn);
    for (const part of ["second", "turn", "labels", "spin"]) set(`[data-part=${part}]`, { visibility: "hidden" });
    set(".midpoint", { visibility: "hidden" });
    for (const who of ["feeder", "target"]) this.#say(who, turn);
  }

  #say(who, turn) {
    const { x, y } = this.places[who];
    const beside = y ? `${Math.abs(y)} cm to the player's ${side(y)}` : "on the centre line";
    const handle = this.#handle(who);
    handle.setAttribute("aria-valuenow", y);
    handle.setAttribute("aria-valuetext", `${x} cm from the far end line, ${beside}; head ${inWords(turn)}`);
  }
}
