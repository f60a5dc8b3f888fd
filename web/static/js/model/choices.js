/** How a clip is shown, in words. No DOM. */

import { clock } from './clock.js';

const tenths = (ms) => `${clock(ms)}.${Math.floor((Math.max(ms, 0) % 1000) / 100)}`;

export const span = (start, end) => `${tenths(start)} to ${tenths(end)}`;

const times = (speed) => (speed === 1 ? 'as it was' : `${speed} times as fast`);

/** What is not as the lesson says, or not automatic; a sentence each. */
export function toldOf(clip) {
  const told = [];
  if (clip.scraping_speed) told.push(`Long scraping: ${times(clip.scraping_speed)}.`);
  if (clip.before) told.push(`${clip.before.is_beside ? 'Beside it' : 'Before it'}: ${clip.before_told?.text ?? span(clip.before.start_ms, clip.before.end_ms)}.`);
  if (clip.before_told?.is_missing) told.push('Its recording is not where it was.');
  if (Number.isInteger(clip.still_ms)) told.push(`Its picture is the one at ${tenths(clip.still_ms)}.`);
  return told;
}

const seconds = (ms) => (ms < 60_000 ? `${Math.round(ms / 100) / 10} s` : clock(ms));

/** What becomes of the clip as the lesson is shown now: how much runs faster, how much quiet is left out. */
export function shortened({ parts = [], start_ms: start, end_ms: end }) {
  const fast = parts.filter((part) => part.speed > 1).reduce((sum, part) => sum + part.end_ms - part.start_ms, 0);
  const left = end - start - parts.reduce((sum, part) => sum + part.end_ms - part.start_ms, 0);
  const told = [];
  if (fast) told.push(`${seconds(fast)} of scraping run faster`);
  if (parts.length && left > 0) told.push(`${seconds(left)} of quiet are left out`);
  return told.length ? `${told.join('; ')}.` : '';
}

/** Where a player is in the parts of a clip: the part it plays, else where it must jump to (null: past the end). */
export function placeIn(parts, ms) {
  const next = parts.find((part) => ms < part.end_ms);
  if (!next) return { part: null, jump: null };
  return ms >= next.start_ms - 40 ? { part: next, jump: null } : { part: null, jump: next.start_ms };
}

/** What the preview does not show of a lesson, as one sentence; nothing when it shows all. */
export function unshown({ clips, showing, has_title_cards: hasCards }) {
  const told = [];
  if (hasCards) told.push('title cards');
  if (clips.some((clip) => clip.before)) told.push('what a clip is set against');
  if (showing.evens_loudness) told.push('the evened loudness');
  if (showing.burns_captions) told.push('captions in the picture');
  if (!told.length) return '';
  const last = told.pop();
  return `Not shown here, but in the film: ${told.length ? `${told.join(', ')} and ${last}` : last}.`;
}
