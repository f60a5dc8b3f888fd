/** Laying marks on a recording: shows where they would lie, then makes tags of them. */

import { get, send } from '../api.js';
import { sayNext } from './say.js';

export function marksLay(form) {
  const told = form.querySelector('[data-lay-told]');
  const error = form.querySelector('[data-form-error]');
  const by = form.querySelector('[data-lay-by]');
  let asked = 0;
  const button = form.querySelector('[type="submit"]');
  const shiftMs = () => Math.round(Number(form.elements.shift.value.replace(',', '.').replace('−', '-')) * 1000);
  const address = () => `/api/recordings/${form.elements.recording.value}/marks`;

  async function look() {
    const own = (asked += 1);
    error.hidden = true;
    button.disabled = true;
    by.textContent = '';
    try {
      if (Number.isNaN(shiftMs())) throw new Error('The shift is not a number. Write seconds, for example -12.5.');
      if (!told.textContent) told.textContent = 'Looking where they lie…';
      const { marks, by: basis } = await get(`${address()}?shift_ms=${shiftMs()}`);
      if (own !== asked) return; // another choice was made in the meantime
      by.textContent = basis;
      told.textContent = marks.length ? `${marks.length === 1 ? '1 mark falls' : `${marks.length} marks fall`} in this recording:` : 'No mark falls in this recording, so there is nothing to make tags of.';
      button.disabled = marks.length === 0;
      const rows = marks.map(({ at, told: what }) => Object.assign(document.createElement('li'), { textContent: `${at} · ${what}` }));
      form.querySelector('[data-lay-rows]').replaceChildren(...rows);
    } catch (problem) {
      if (own !== asked) return;
      told.textContent = '';
      form.querySelector('[data-lay-rows]').replaceChildren();
      error.textContent = problem.message;
      error.hidden = false;
    }
  }
  form.addEventListener('input', look);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    try {
      const answer = await send('POST', address(), { shift_ms: shiftMs() });
      sayNext(answer.message, answer.step);
      location.assign(answer.location);
    } catch (problem) {
      error.textContent = problem.message;
      error.hidden = false;
    }
  });
  look();
}
