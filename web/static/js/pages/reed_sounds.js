/** Two sounds of a reed, one after the other at the same loudness. */

import { warn } from '../ui/say.js';

const PAUSE_MS = 400; // between the two: long enough to part them, short enough to keep the first in the ear
let context = null;
let turn = 0; // counts what was asked for, so that an older request stops

const sides = Object.fromEntries([...document.querySelectorAll('[data-side]')].map((box) => [box.dataset.side, side(box)]));

function side(box) {
  const audio = box.querySelector('audio');
  const { start, end, gain } = box.dataset;
  return { box, audio, start: Number(start) / 1000, end: Number(end) / 1000, factor: Math.min(1, 10 ** (Number(gain) / 20)) };
}

/** A gain of our own: some devices do not let a page set the volume of a player. */
async function prepare() {
  context ??= new AudioContext();
  await context.resume();
  for (const one of Object.values(sides)) {
    if (one.node) continue;
    one.node = new GainNode(context, { gain: one.factor });
    context.createMediaElementSource(one.audio).connect(one.node).connect(context.destination);
  }
}

function stop() {
  turn += 1;
  for (const { audio, box } of Object.values(sides)) {
    audio.pause();
    box.classList.remove('is-playing');
  }
}

const wait = (ms) => new Promise((done) => setTimeout(done, ms));

async function play({ audio, start, end, box }, mine) {
  audio.currentTime = start;
  await audio.play();
  box.classList.add('is-playing');
  while (mine === turn && audio.currentTime < end && !audio.ended && !audio.paused) await wait(20);
  if (mine !== turn) return;
  audio.pause();
  box.classList.remove('is-playing');
}

async function start(name) {
  stop();
  const mine = turn;
  try {
    await prepare();
    if (name !== 'both') return await play(sides[name], mine);
    await play(sides.first, mine);
    await wait(PAUSE_MS);
    if (mine === turn) await play(sides.second, mine);
  } catch (error) {
    if (error.name !== 'AbortError') warn(new Error('The sound cannot be played. Is the file of its recording still there?'));
  }
  return undefined;
}

for (const button of document.querySelectorAll('[data-play]')) button.addEventListener('click', () => start(button.dataset.play));
document.querySelector('[data-stop]')?.addEventListener('click', stop);
document.documentElement.dataset.ready = 'true';
