// Refused lines in which cells are typed and proposals pressed. The server draws them; what is said goes there with a
// number, again and again until an answer has it, for of two messages that follow each other fast one may be lost.

export default function ({ parentElement, data, setTriggerValue }) {
  const desk = (parentElement.correcting ??= new Desk(parentElement, data.heard));
  desk.answered(data, (said) => setTriggerValue("said", said));
}

class Desk {
  constructor(place, heard) {
    this.root = Object.assign(document.createElement("div"), { className: "hl-correcting" });
    place.append(this.root);
    this.number = heard;
    this.waiting = [];
    this.root.addEventListener("change", (event) => this.#typed(event.target));
    this.root.addEventListener("click", (event) => this.#pressed(event.target.closest("button")));
    this.root.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input")) event.target.blur();
    });
  }

  answered(data, send) {
    this.send = send;
    this.number = Math.max(this.number, data.heard);
    this.waiting = this.waiting.filter((said) => said.number > data.heard);
    if (data.html === this.html) return;
    this.html = data.html;
    this.#drawAnew();
  }

  /** What is being typed at this moment, and the focus, outlive the answer to what was said before. */
  #drawAnew() {
    const active = this.root.contains(document.activeElement) ? document.activeElement : null;
    const key = active && this.#key(active);
    const typing = active?.matches("input") && active.value !== active.defaultValue ? active.value : null;
    const open = [...this.root.querySelectorAll(":scope details[open] input")].map((input) => this.#key(input));
    this.root.innerHTML = this.html;
    const fields = [...this.root.querySelectorAll("input, button")];
    for (const field of fields) if (open.includes(this.#key(field))) field.closest("details").open = true;
    const again = key && (fields.find((field) => this.#key(field) === key) ?? this.#near(fields, active));
    if (!again) return;
    again.focus({ preventScroll: true });
    if (typing !== null && this.#key(again) === key) again.value = typing;
  }

  #key({ tagName, dataset }) {
    return [tagName, dataset.act, dataset.line, dataset.place, dataset.value, dataset.typed].join("\n");
  }

  /** A button is gone once it was pressed: the field that it filled has the focus then. */
  #near(fields, { dataset }) {
    return fields.find((field) => field.dataset.line === dataset.line && field.dataset.place === dataset.place);
  }

  #typed(input) {
    if (!input.matches("input[data-act]") || input.value === input.defaultValue) return;
    this.#say({ ...input.dataset, value: input.value });
  }

  #pressed(button) {
    if (button) this.#say({ ...button.dataset });
  }

  #say(said) {
    this.waiting.push({ ...said, number: ++this.number });
    this.send(this.waiting);
  }
}
