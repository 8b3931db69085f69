// Drawings of balls, as the club's computer drew them; this page draws none itself.

import { answerOf } from "./sending.js";

const PATIENCE_MS = 10_000;

/** Put the drawing of a ball into its place, which keeps its size where there is none. */
export function show(place, drawn) {
  place.innerHTML = drawn ?? "";
}

export function frame(drawn) {
  const place = Object.assign(document.createElement("span"), { className: "drawn" });
  show(place, drawn);
  return place;
}

/** The drawings of balls that were set by hand; none where there is no network. */
export async function drawingsOf(account, player, feeds) {
  const headers = { "content-type": "application/json" };
  const body = JSON.stringify({ account, player, feeds });
  const { reply } = await answerOf("/table/drawn", PATIENCE_MS, { method: "POST", headers, body });
  return reply?.drawn;
}
