// Whoever signs in next finds nothing of the one before in this browser: no names of the club, no balls that are saved.
// What waits to be sent stays, under the number of its account: else balls that were counted would be lost.

const OURS = "halflong.";

/** A block at the table of which something is not on the club's computer yet. */
function isWaiting(kept) {
  try {
    return JSON.parse(kept).entries.some((entry) => !entry.saved);
  } catch {
    return false;
  }
}

try {
  for (const key of Object.keys(localStorage).filter((one) => one.startsWith(OURS))) {
    if (!isWaiting(localStorage.getItem(key))) localStorage.removeItem(key);
  }
  sessionStorage.clear();
} catch {
  // A browser that keeps nothing has nothing to be emptied.
}
