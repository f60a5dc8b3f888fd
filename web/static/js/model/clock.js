/** Times in whole milliseconds, printed and read as on the pages. No DOM. */

/** `m:ss` or `h:mm:ss`. */
export function clock(ms) {
  const seconds = Math.floor(Math.max(ms, 0) / 1000);
  const two = (number) => String(number).padStart(2, '0');
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor(seconds / 60);
  return hours ? `${hours}:${two(minutes % 60)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}

/** `m:ss.mmm`, for trimming. */
export const fine = (ms) => `${clock(ms)}.${String(Math.max(ms, 0) % 1000).padStart(3, '0')}`;

/** Reads `1:23.4`, `1:02:03` or `83.4`; null when it is no time. */
export function parseClock(text) {
  const found = /^(?:(?:(\d+):)?(\d{1,3}):)?(\d+)(?:[.,](\d{1,3}))?$/.exec(text.trim());
  if (!found) return null;
  const [, hours, minutes, seconds, part] = found;
  if ((minutes && Number(seconds) > 59) || (hours && Number(minutes) > 59)) return null;
  const whole = Number(hours ?? 0) * 3600 + Number(minutes ?? 0) * 60 + Number(seconds);
  return whole * 1000 + Number((part ?? '0').padEnd(3, '0'));
}
