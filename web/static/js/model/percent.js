/** A percentage as it is typed. No DOM. */

/** The whole number from 0 to 100 in a text, with or without its sign; null when it is none. */
export function percent(text) {
  const found = /^\s*(\d{1,3})\s*%?\s*$/.exec(text);
  return found && Number(found[1]) <= 100 ? Number(found[1]) : null;
}
