// The drawn table: whoever counts touches where the ball went. Arrow keys go from zone to zone.

const BESIDE = {
  long: { ArrowDown: "good" },
  left: { ArrowUp: "long", ArrowRight: "good", ArrowDown: "net" },
  good: { ArrowUp: "long", ArrowLeft: "left", ArrowRight: "right", ArrowDown: "net" },
  right: { ArrowUp: "long", ArrowLeft: "good", ArrowDown: "net" },
  net: { ArrowUp: "good", ArrowDown: "missed" },
  missed: { ArrowUp: "net" },
};

export class Zones {
  constructor(table, touched) {
    this.buttons = [...table.querySelectorAll("[data-outcome]")];
    for (const button of this.buttons) button.addEventListener("click", () => touched(button.dataset.outcome));
    table.addEventListener("keydown", (event) => this.#go(event));
  }

  #go(event) {
    const next = BESIDE[event.target.dataset.zone]?.[event.key];
    if (!next) return;
    event.preventDefault();
    this.buttons.find((button) => button.dataset.zone === next).focus();
  }

  show(outcomes) {
    for (const button of this.buttons) {
      const number = button.querySelector("span");
      if (number) number.textContent = outcomes.filter((one) => one === button.dataset.outcome).length;
    }
  }
}
