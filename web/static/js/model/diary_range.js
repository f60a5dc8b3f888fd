/** The stretch that is being marked: a start, an end, or both, on one recording. No DOM. */

/** A new stretch with one end set; an end before the start moves the other end out of the way. */
export function withStart(range, recording, ms) {
  const end = range && range.recording === recording && range.end !== null && range.end > ms ? range.end : null;
  return { recording, start: ms, end };
}

export function withEnd(range, recording, ms) {
  const start = range && range.recording === recording && range.start !== null && range.start < ms ? range.start : null;
  return { recording, start, end: ms };
}

/** A stretch from one row to another, whichever comes first. */
export function overRows(recording, one, other) {
  return { recording, start: Math.min(one.start, other.start), end: Math.max(one.end, other.end) };
}

/** How long the row is that a stretch with one end begins or ends with; undefined where the end lies inside a row. */
export function lineLong(range, rows) {
  const row = rows.find(({ start, end }) => start === range.start || end === range.end);
  return row && row.end - row.start;
}

/** The stretch with both ends: a missing end is `spare` ms away, within the recording. */
export function whole(range, duration, spare = 10000) {
  const start = range.start ?? Math.max(range.end - spare, 0);
  const end = range.end ?? Math.min(start + spare, duration);
  return { recording: range.recording, start: Math.min(start, Math.max(duration - 1, 0)), end: Math.min(end, duration) };
}

export const covers = (range, start, end) => range.start < end && start < range.end;
