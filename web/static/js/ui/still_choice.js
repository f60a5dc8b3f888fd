/** The dialog in which the picture that stands for a clip in the summary is chosen. */

import { fine, parseClock } from '../model/clock.js';
import { showEdge } from './edge_frames.js';

const one = (selector) => document.querySelector(selector);

function candidate(clip, ms, choose) {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'button still-button' });
  const canvas = Object.assign(document.createElement('canvas'), { width: 240, height: 135, className: 'clip-frame' });
  button.append(canvas, Object.assign(document.createElement('span'), { className: 'number', textContent: fine(ms) }));
  button.dataset.ms = String(ms);
  button.setAttribute('aria-pressed', 'false');
  button.addEventListener('click', () => choose(ms));
  showEdge(canvas, { ...clip, start_ms: ms }, 'start');
  canvas.setAttribute('aria-hidden', 'true');
  const item = document.createElement('li');
  item.append(button);
  return item;
}

/** Resolves to the moment (ms) whose picture is chosen for the clip, the `number`-th; null: it stays as it is. */
export function chooseStill(clip, number) {
  const box = document.getElementById('still-choice');
  const field = one('#still-at');
  const problem = one('[data-still-error]');
  const list = one('[data-still-list]');
  const picture = one('[data-still-picture]');

  const choose = (ms) => {
    field.value = fine(ms);
    for (const button of list.querySelectorAll('button')) button.setAttribute('aria-pressed', String(Number(button.dataset.ms) === ms));
    showEdge(picture, { ...clip, start_ms: ms }, 'start');
    picture.setAttribute('aria-label', `The picture at ${fine(ms)}`);
  };
  const typed = () => {
    const ms = parseClock(field.value);
    return ms !== null && ms >= clip.start_ms && ms < clip.end_ms ? ms : null;
  };

  one('#still-title').textContent = `Choose the picture of clip ${number}`;
  problem.hidden = true;
  list.replaceChildren(...clip.stills.map((ms) => candidate(clip, ms, choose)));
  choose(clip.still_ms ?? clip.stills[0]);
  // What is wrong is said only when the picture is to be used: a button that moves under a press is not pressed.
  field.onchange = () => { if (typed() !== null) choose(typed()); };
  box.querySelector('[data-close]').onclick = () => box.close('');
  return new Promise((resolve) => {
    let chosen = null;
    one('[data-still-form]').onsubmit = (event) => {
      event.preventDefault();
      chosen = typed();
      problem.hidden = chosen !== null;
      problem.textContent = problem.hidden ? '' : `Give a time in the clip, ${fine(clip.start_ms)} to ${fine(clip.end_ms)}.`;
      if (problem.hidden) box.close();
    };
    box.addEventListener('close', () => resolve(chosen), { once: true });
    box.showModal();
  });
}
