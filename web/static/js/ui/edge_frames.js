/**
 * Draws the first and last picture of clips, one after the other, with one hidden player. Each player holds a
 * connection, and a browser has only six: so the player lets go as soon as the recording changes or all is drawn.
 */

import { byFrames } from '../model/frames.js';
import { once, seekTo } from './seek.js';

let player = null;
let queue = Promise.resolve();
let waiting = 0;

function letGo() {
  player?.removeAttribute('src');
  player?.load();
  player = null;
}

async function playerOf(address) {
  if (player?.getAttribute('src') !== address) {
    letGo();
    player = Object.assign(document.createElement('video'), { muted: true, preload: 'auto', src: address });
    await once(player, 'loadeddata');
  }
  return player;
}

async function draw(canvas, address, ms, rate) {
  const video = await playerOf(address);
  await seekTo(video, ms, rate);
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
  waiting += 1;
  queue = queue
    .then(() => draw(canvas, clip.media, ms, clip.rate))
    .catch(letGo)
    .then(() => {
      waiting -= 1;
      if (!waiting) letGo();
    });
}
