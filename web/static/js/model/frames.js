/** Between milliseconds and pictures. A picture is shown from its own time up to the next one's. No DOM. */

const USUAL_RATE = 25;

/** The number of the picture that is shown at `ms` (times of pictures are rounded to whole ms, halves up). */
export const frameAt = (ms, rate) => Math.floor(((ms + 0.5) * (rate || USUAL_RATE)) / 1000);

/** When picture `frame` begins, in whole ms. */
export const startOfFrame = (frame, rate) => Math.floor((frame * 1000) / (rate || USUAL_RATE) + 0.5);

/** Where a player must be sent to show the picture at `ms`: the middle of it, since its own clock is rounded. */
export const seekSeconds = (ms, rate) => (rate ? (frameAt(ms, rate) + 0.5) / rate : ms / 1000 + 0.001);

/** `ms` moved by so many pictures. */
export const byFrames = (ms, count, rate) => startOfFrame(Math.max(0, frameAt(ms, rate) + count), rate);
