// Blocks and balls in words.

let words = {};
let columns = [];
const TOLD_APART = ["length", "spin", "stroke"];
let setupNames = {};
let playerNames = {};

/** Words of the log with their labels, names of setups and players: from the club's computer. */
export function learn(start) {
  words = start.words;
  columns = start.asked ?? [];
  setupNames = Object.fromEntries(start.setups.map((setup) => [setup.code, setup.name]));
  playerNames = Object.fromEntries(start.players.map((player) => [player.code, player.name]));
}

export const nameOf = (player) => playerNames[player] ?? player;
/** The columns of a ball that are said by one word of a list: name, title, and whether a ball needs it. */
export const asked = () => columns;
export const wordsOf = (column) => words[column];

export function count(number, noun) {
  return `${number} ${noun}${number === 1 ? "" : "s"}`;
}

const phraseOf = (feed, column) => words[column]?.find((word) => word.name === feed[column])?.phrase;

/** What kind of ball it is, in a few words. */
export function kindOf(feed) {
  const said = ["spin", "length"].map((column) => phraseOf(feed, column)).filter(Boolean).join(", ");
  return said ? said[0].toUpperCase() + said.slice(1) : "Any ball";
}

/** From where it comes and to where, and whatever else is said of it. */
export function wayOf(feed) {
  const said = (column) => phraseOf(feed, column);
  const rest = columns.map((each) => each.column).filter((column) => !["spin", "length"].includes(column)).map(said);
  return [from(feed), ...rest, tempo(feed)].filter(Boolean).join(", ");
}

const from = (feed) => (feed.setup ? `from ${setupNames[feed.setup] ?? feed.setup}` : null);
const tempo = (feed) => (feed.tempo_bpm ? `${feed.tempo_bpm} balls a minute` : null);

export function fedBall(feed) {
  const said = (column) => phraseOf(feed, column);
  const ball = [said("length"), said("spin")].filter(Boolean).join(" ");
  const rest = columns.map((each) => each.column).filter((column) => !TOLD_APART.includes(column)).map(said).filter(Boolean);
  return [ball, from(feed), ...rest, said("stroke"), tempo(feed)].filter(Boolean).join(", ");
}

export function fedBalls(feeds) {
  return feeds.length === 1 ? fedBall(feeds[0]) : feeds.map((feed, i) => `${i + 1}: ${fedBall(feed)}`).join("; ");
}
