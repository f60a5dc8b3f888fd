/** Where moments lie among the rows of one recording. Rows are `{start, end, kind}` in order. No DOM. */

/** The position of the row that holds a moment; 0 before the first. */
export function rowAt(rows, ms) {
  let low = 0;
  let high = rows.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (rows[middle].start <= ms) low = middle;
    else high = middle - 1;
  }
  return low;
}

const LONGEST_LEAD_MS = 300; // a tag may begin so much before the line that it is about

/** The position of the row where a card of a stretch stands: where it starts, or the next row when that is near. */
export function cardRow(rows, start, end) {
  const at = rowAt(rows, start);
  const lead = rows[at].end - start;
  return lead <= LONGEST_LEAD_MS && end - rows[at].end > lead && at + 1 < rows.length ? at + 1 : at;
}

const isSound = (row) => !['speech', 'quiet', 'pause'].includes(row.kind);

/** The position of the next row (`step` 1) or the one before (-1) that `fits`, or -1. */
function search(rows, from, step, fits) {
  for (let at = from + step; at >= 0 && at < rows.length; at += step) if (fits(rows[at])) return at;
  return -1;
}

export const nextSound = (rows, from) => search(rows, from, 1, isSound);
export const previousSound = (rows, from) => search(rows, from, -1, isSound);

/** The position of the word that is spoken at a moment, in `[[start, end, text], ...]`; -1 between words. */
export function wordAt(words, ms) {
  return words.findIndex(([start, end]) => start <= ms && ms < end);
}

/**
 * The stretch of each word in a text: `[[from, to, start, end], ...]` in characters and milliseconds.
 * Words are found one after the other, so a word that is not in the text is passed over.
 */
export function wordPlaces(text, words) {
  const places = [];
  let from = 0;
  for (const [start, end, word] of words) {
    const at = text.indexOf(word.trim(), from);
    if (at < 0) continue;
    from = at + word.trim().length;
    places.push([at, from, start, end]);
  }
  return places;
}

/** The moment of the word at a character of a text, or of the word before it; null when there is none. */
export function momentAt(places, character) {
  let found = null;
  for (const [from, , start] of places) {
    if (from > character) break;
    found = start;
  }
  return found;
}
