// The part of the form that says which balls are fed: one fieldset for each feed of a combination.

import { asked, wordsOf } from "./words.js";

const MOST_FEEDS = 20;

let groups = 0;

export class Feeds {
  constructor(list, template, addButton, changed) {
    Object.assign(this, { list, template, addButton, changed });
    addButton.addEventListener("click", () => {
      this.add(this.read().at(-1)).querySelector("select").focus();
    });
  }

  learn(setups) {
    this.setups = setups;
  }

  fill(feeds) {
    this.list.replaceChildren();
    for (const feed of feeds.length ? feeds : [{}]) this.add(feed);
  }

  add(feed = {}) {
    const fieldset = this.template.content.cloneNode(true).firstElementChild;
    fieldset.querySelector("select").append(...this.setups.map((setup) => new Option(setup.name, setup.code)));
    for (const each of asked()) fieldset.querySelector(each.is_needed ? ".needed" : ".more").append(chips(each, feed));
    for (const field of fieldset.querySelectorAll("[data-column]")) field.value = feed[field.dataset.column] ?? "";
    fieldset.querySelector(".remove").addEventListener("click", () => {
      fieldset.remove();
      this.#renumber();
      this.addButton.focus();
    });
    this.list.append(fieldset);
    this.#renumber();
    return fieldset;
  }

  #renumber() {
    const all = [...this.list.children];
    all.forEach((fieldset, i) => {
      fieldset.querySelector("legend").textContent = all.length === 1 ? "The ball" : `Ball ${i + 1}`;
      fieldset.querySelector(".remove").hidden = all.length === 1;
    });
    this.addButton.hidden = all.length >= MOST_FEEDS;
    this.changed(all.length);
  }

  read() {
    return [...this.list.children].map((fieldset) => {
      const feed = {};
      for (const field of fieldset.querySelectorAll("[data-column]")) {
        if (field.value) feed[field.dataset.column] = field.type === "number" ? Number(field.value) : field.value;
      }
      for (const chosen of fieldset.querySelectorAll("[data-chips] input:checked")) {
        if (chosen.value) feed[chosen.closest("[data-chips]").dataset.chips] = chosen.value;
      }
      return feed;
    });
  }
}

/** What must still be said of the balls, in words; empty where nothing is missing. */
export function missing(feeds) {
  const texts = feeds.map((feed, i) => {
    const needed = asked().filter((each) => each.is_needed && !feed[each.column]);
    const lacking = [...(feed.setup ? [] : ["where the feeder stands"]), ...needed.map((each) => `the ${each.title.toLowerCase()}`)];
    return lacking.length ? `${feeds.length > 1 ? `ball ${i + 1}: ` : ""}${lacking.join(", ")}` : null;
  });
  const all = texts.filter(Boolean).join("; ");
  return all && `Still to be said: ${all}.`;
}

function chips({ column, title, is_needed: isNeeded }, feed) {
  const name = `${column}-${++groups}`;
  const place = Object.assign(document.createElement("div"), { className: isNeeded ? "required" : "" });
  place.dataset.chips = column;
  const fieldset = document.createElement("fieldset");
  const legend = Object.assign(document.createElement("legend"), { textContent: title });
  const row = Object.assign(document.createElement("div"), { className: "chips" });
  const choices = [...(isNeeded ? [] : [{ name: "", label: "not noted" }]), ...wordsOf(column)];
  row.append(...choices.map((word) => radio(name, word.name, word.label, (feed[column] ?? "") === word.name)));
  fieldset.append(legend, row);
  place.append(fieldset);
  return place;
}

/** A choice; what it says is a text, or an element that says more. */
export function radio(name, value, said, checked) {
  const label = document.createElement("label");
  const input = Object.assign(document.createElement("input"), { type: "radio", name, value, checked });
  const shown = document.createElement("span");
  shown.append(said);
  label.append(input, shown);
  return label;
}
