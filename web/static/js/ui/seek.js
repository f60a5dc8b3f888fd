/** Sends a player to the picture at a moment, and waits until that picture is the one it holds. */

import { seekSeconds } from '../model/frames.js';

const SETTLE_MS = 250; // how long to wait for the new picture once the player says that it is there

/** Resolves when `target` tells of `name`; fails when it tells of an error. */
export const once = (target, name) => new Promise((resolve, reject) => {
  target.addEventListener(name, resolve, { once: true });
  target.addEventListener('error', reject, { once: true });
});

/** The player may say "seeked" a moment before the new picture can be drawn; its picture callback is surer. */
export async function seekTo(video, ms, rate) {
  const seconds = seekSeconds(ms, rate);
  const isNear = (mediaTime) => Math.abs(mediaTime - seconds) <= 0.75 / (rate || 25);
  let wait;
  const shown = new Promise((resolve) => {
    const look = (_, { mediaTime }) => (isNear(mediaTime) ? resolve() : wait());
    wait = () => video.requestVideoFrameCallback?.(look);
  });
  wait();
  const seeked = once(video, 'seeked');
  video.currentTime = seconds;
  await seeked;
  await Promise.race([shown, new Promise((resolve) => { setTimeout(resolve, SETTLE_MS); })]);
}
