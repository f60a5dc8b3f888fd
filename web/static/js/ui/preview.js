/**
 * Plays the clips of a lesson one after the other, without rendering: two players take turns. Long scraping runs as
 * fast as in the film, and what the film leaves out of long quiet is passed over.
 */

import { placeIn } from '../model/choices.js';
import { seekSeconds } from '../model/frames.js';

const LEAD_MS = 2000; // how much before a joint "play into the next" begins
const LOUDNESS = { off: 0, low: 0.25 }; // of scraping that runs faster

/** `said(text)` shows what plays; `at(place)` hears which clip it is (-1: none); `take(place, ms)` a chosen picture. */
export function preview(box, { said, at, take }) {
  const players = [...box.querySelectorAll('[data-preview-video]')];
  const button = box.querySelector('[data-preview-play]');
  let clips = [];
  let place = -1;
  let last = -1;
  let held = null; // the clip and the moment of the picture that is shown after a stop
  let fastSound = 'off';
  const still = box.querySelector('[data-preview-still]');

  /** Show the button that takes the picture, for the clip it is of. */
  const offer = () => {
    const clip = held && clips[held.place];
    const isIn = Boolean(clip) && clip.has_picture && clip.media === held.media && held.ms >= clip.start_ms && held.ms < clip.end_ms;
    still.hidden = !isIn;
    if (isIn) still.textContent = `Use this picture for clip ${held.place + 1}`;
  };

  const follow = (video, clip) => {
    const { part, jump } = placeIn(clip.parts ?? [], video.currentTime * 1000);
    if (jump !== null) video.currentTime = seekSeconds(jump, clip.rate);
    const speed = part?.speed ?? 1;
    if (video.playbackRate !== speed) video.playbackRate = speed;
    video.volume = speed > 1 ? LOUDNESS[fastSound] : 1;
  };

  const ready = (video, clip, fromMs) => {
    if (video.dataset.address !== clip.media) {
      video.dataset.address = clip.media;
      video.src = clip.media;
    }
    video.currentTime = seekSeconds(fromMs, clip.rate);
  };

  const stop = () => {
    players.forEach((video) => video.pause());
    if (place >= 0 && clips[place]) {
      held = { place, media: clips[place].media, ms: Math.min(Math.floor(players[0].currentTime * 1000), clips[place].end_ms - 1) };
    }
    place = -1;
    offer();
    button.textContent = 'Play all';
    at(-1);
  };

  const begin = async (next, fromMs, stopAfter) => {
    if (!clips[next] || clips[next].is_missing) return stop();
    place = next;
    last = stopAfter;
    still.hidden = true;
    const [now, then] = players;
    ready(now, clips[place], fromMs ?? clips[place].start_ms);
    follow(now, clips[place]);
    show(now, then);
    at(place);
    said(`Clip ${place + 1} of ${clips.length}${clips[place].title ? `: ${clips[place].title}` : ''}`);
    button.textContent = 'Stop';
    if (place < last && clips[place + 1] && !clips[place + 1].is_missing) ready(then, clips[place + 1], clips[place + 1].start_ms);
    try {
      await now.play();
      checkPicture(now, clips[next]);
      requestAnimationFrame(watch);
    } catch (error) {
      if (error.name !== 'AbortError') {
        said(`${clips[next].where}: the browser cannot play this. A copy that it can play may still be in the making; look at Work.`);
        stop();
      }
    }
    return undefined;
  };

  const watch = () => {
    const [now] = players;
    if (place < 0 || (now.paused && !now.ended)) return;
    if (now.currentTime * 1000 < clips[place].end_ms && !now.ended) {
      follow(now, clips[place]);
      return void requestAnimationFrame(watch);
    }
    now.pause();
    if (place >= last) return void stop();
    players.reverse();
    begin(place + 1, undefined, last);
  };

  const checkPicture = (video, clip) => {
    if (clip.has_picture && video.readyState > 0 && video.videoWidth === 0) {
      said(`${clip.where}: the browser hears this but shows no picture. Look at Work for the copy that it can play.`);
    }
  };

  button.addEventListener('click', () => (place >= 0 ? stop() : begin(0, undefined, clips.length - 1)));
  box.querySelector('[data-preview-back]').addEventListener('click', () => begin(Math.max(0, place - 1), undefined, clips.length - 1));
  box.querySelector('[data-preview-next]').addEventListener('click', () => begin(Math.min(clips.length - 1, place + 1), undefined, clips.length - 1));

  still.addEventListener('click', () => take(held.place, held.ms));

  return {
    load(next, showing) {
      clips = next;
      fastSound = showing.scraping_sound;
      offer();
      if (place < 0 && clips[0] && !clips[0].is_missing) ready(players[0], clips[0], clips[0].start_ms);
    },
    play(which, isJoint) {
      const clip = clips[which];
      box.scrollIntoView({ block: 'nearest' });
      begin(which, isJoint ? Math.max(clip.start_ms, clip.end_ms - LEAD_MS) : undefined, isJoint ? which + 1 : which);
    },
  };
}

function show(now, then) {
  now.hidden = false;
  then.hidden = true;
}
