/** Draws the first and last picture of clips, one after the other, with one hidden player a recording. */

import { byFrames, seekSeconds } from '../model/frames.js';

const players = new Map();
let queue = Promise.resolve();

const once = (target, name) => new Promise((resolve, reject) => {
  target.addEventListener(name, resolve, { once: true });
  target.addEventListener('error', reject, { once: true });
});

async function playerOf(address) {
  if (!players.has(address)) {
    const video = Object.assign(document.createElement('video'), { muted: true, preload: 'auto', src: address });
    players.set(address, video);
    await once(video, 'loadeddata');
  }
  return players.get(address);
}

async function draw(canvas, address, ms, rate) {
  const video = await playerOf(address);
  const seeked = once(video, 'seeked');
  video.currentTime = seekSeconds(ms, rate);
  await seeked;
  if (!video.videoWidth) return;
  canvas.height = Math.round((canvas.width * video.videoHeight) / video.videoWidth);
  canvas.getContext('2d').drawImage(video, 0, 0, canvas.width, canvas.height);
  canvas.dataset.shown = String(ms);
}

/** Show the picture at an edge of a clip; the last picture is the one before the end. */
export function showEdge(canvas, clip, edge) {
  const isSound = !clip.has_picture || clip.is_missing;
  canvas.classList.toggle('is-soundless', isSound);
  if (isSound) return;
  const ms = edge === 'start' ? clip.start_ms : byFrames(clip.end_ms, -1, clip.rate);
  canvas.setAttribute('aria-label', `${edge === 'start' ? 'First' : 'Last'} picture of the clip`);
  queue = queue.then(() => draw(canvas, clip.media, ms, clip.rate)).catch(() => {});
}
