/** Cutting a file into pieces, and days. No DOM. */

/** The pieces `[start, end)` of a file from `from` on. */
export function* pieces(size, pieceBytes, from = 0) {
  for (let start = from; start < size; start += pieceBytes) yield [start, Math.min(size, start + pieceBytes)];
}

/** The local day of a moment in ms since 1970, as year-month-day. */
export function dayOf(moment) {
  const day = new Date(moment);
  const two = (number) => String(number).padStart(2, '0');
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}
