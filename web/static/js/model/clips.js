/** Changing a list of clips. Every function gives a new list. No DOM. */

import { clock } from './clock.js';

const KEPT = ['recording_id', 'start_ms', 'end_ms', 'title', 'note', 'tag_id', 'still_ms', 'scraping_speed', 'before', 'is_cover'];

const EMPTY = { title: '', note: '', is_cover: false };

/** What the server stores of a clip. */
export const bare = (clip) => Object.fromEntries(KEPT.map((key) => [key, clip[key] ?? EMPTY[key] ?? null]));

/** The clip at `place` moved by `by` places. */
export function moved(clips, place, by) {
  const target = place + by;
  if (target < 0 || target >= clips.length) return clips;
  const next = [...clips];
  next.splice(target, 0, ...next.splice(place, 1));
  return next;
}

export const without = (clips, place) => clips.filter((_, number) => number !== place);

/** The clip at `place` with other values. */
export const changed = (clips, place, values) => clips.map((clip, number) => (number === place ? { ...clip, ...values } : clip));

/** The clips with the picture of the one at `place` as the cover; null: of the first that has one. */
export const covered = (clips, place) => clips.map((clip, number) => ({ ...clip, is_cover: number === place }));

/** Where the clip stands whose picture is the cover: the chosen one, else the first that has a picture; -1 for none. */
export function coverPlace(clips) {
  const chosen = clips.findIndex((clip) => clip.is_cover && clip.has_picture !== false);
  return chosen < 0 ? clips.findIndex((clip) => clip.has_picture !== false) : chosen;
}

const tenths = (ms) => Math.round(ms / 100);
const shown = (count) => `${clock(count * 100)}.${count % 10}`;

/** How long a clip is, to the tenth. */
export const lengthOf = (clip) => shown(tenths(clip.end_ms - clip.start_ms));

/** How many clips, how long they are (the sum of what each shows), and about how long the film will be. */
export function lengthsOf({ clips, film_ms: filmMs }) {
  if (!clips.length) return 'No clips yet';
  const sum = clips.reduce((before, clip) => before + tenths(clip.end_ms - clip.start_ms), 0);
  const count = clips.length === 1 ? '1 clip,' : `${clips.length} clips, together`;
  return `${count} ${shown(sum)}${filmMs === null ? '' : `; the whole film about ${clock(Math.round(filmMs / 1000) * 1000)}`}`;
}

/** The next of the sorted `edges` before (`way` -1) or after (1) a time; the time itself when there is none. */
export function nextEdge(edges, ms, way) {
  const found = way < 0 ? edges.findLast((edge) => edge < ms) : edges.find((edge) => edge > ms);
  return found ?? ms;
}

/** An edge kept inside the recording. */
export const inside = (ms, durationMs) => Math.min(Math.max(ms, 0), durationMs);
