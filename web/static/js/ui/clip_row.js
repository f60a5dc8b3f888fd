/** One clip of a lesson as a row with fields and buttons. */

import { fine, parseClock } from '../model/clock.js';
import { byFrames } from '../model/frames.js';
import { inside, lengthOf } from '../model/clips.js';
import { showEdge } from './edge_frames.js';

const EDGES = { start: 'start_ms', end: 'end_ms' };

/** A new, empty row; `tell(row, change)` hears of every change: `{values}`, `{snap}` or `{act}`. */
export function clipRow(tell) {
  const row = document.getElementById('clip').content.firstElementChild.cloneNode(true);
  row.addEventListener('click', (event) => {
    const step = event.target.closest('[data-step]');
    if (step) tell(row, { values: stepped(row.clip, step.closest('[data-edge]').dataset.edge, step.dataset.step) });
    const snap = event.target.closest('[data-snap]');
    if (snap) tell(row, { snap: { edge: snap.closest('[data-edge]').dataset.edge, way: Number(snap.dataset.snap) } });
    const act = event.target.closest('[data-act]');
    if (act) tell(row, { act: act.dataset.act });
  });
  row.addEventListener('change', (event) => {
    const name = event.target.dataset.field;
    if (!name) return;
    if (!(name in EDGES)) return void tell(row, { values: { [name]: event.target.value } });
    const ms = parseClock(event.target.value);
    if (ms === null) return void tell(row, { problem: `${event.target.value ? `“${event.target.value}”` : 'An empty text'} is not a time. Write for example 1:23.4.` });
    return void tell(row, { values: { [EDGES[name]]: ms } });
  });
  return row;
}

function stepped(clip, edge, step) {
  const key = EDGES[edge];
  const moved = step.endsWith('frame') ? byFrames(clip[key], step.startsWith('-') ? -1 : 1, clip.rate) : clip[key] + Number(step);
  return { [key]: inside(moved, clip.recording_duration_ms) };
}

/** Bring a row up to date with its clip, the `place`-th of `count`. */
export function fillClip(row, clip, place, count) {
  const old = row.clip;
  row.clip = clip;
  const part = (name) => row.querySelector(`[data-part="${name}"]`);
  part('number').textContent = String(place + 1);
  part('where').textContent = clip.where;
  if (clip.address) part('where').href = clip.address;
  part('length').textContent = lengthOf(clip);
  part('missing').hidden = !clip.is_missing;
  part('missing').textContent = clip.is_missing ? `${clip.where} is not where it was. Put the file back, or take the clip out.` : '';
  part('cautions').replaceChildren();
  const values = { title: clip.title, note: clip.note, start: fine(clip.start_ms), end: fine(clip.end_ms) };
  for (const [name, value] of Object.entries(values)) fillField(row, name, value, place);
  if (clip.note) row.querySelector('.clip-more').open = true;
  for (const edge of Object.keys(EDGES)) {
    const group = row.querySelector(`[data-edge="${edge}"]`);
    group.setAttribute('aria-label', `${edge === 'start' ? 'Start' : 'End'} of clip ${place + 1}`);
    if (old?.[EDGES[edge]] !== clip[EDGES[edge]]) showEdge(group.querySelector('[data-frame]'), clip, edge);
  }
  nameButtons(row, place, count);
}

function fillField(row, name, value, place) {
  const field = row.querySelector(`[data-field="${name}"]`);
  field.id ||= `clip-${crypto.getRandomValues(new Uint32Array(1))[0]}-${name}`;
  row.querySelector(`[data-label="${name}"]`).htmlFor = field.id;
  field.setAttribute('aria-description', `Clip ${place + 1}`);
  if (document.activeElement !== field || field.value === '') field.value = value;
  else if (name in EDGES) field.value = value;
}

function nameButtons(row, place, count) {
  for (const button of row.querySelectorAll('[data-act], [data-step], [data-snap]')) {
    button.setAttribute('aria-label', `${button.textContent.trim()}, clip ${place + 1}${button.closest('[data-edge]') ? `, ${button.closest('[data-edge]').dataset.edge}` : ''}`);
  }
  // A button that stops working while it has the focus must keep the focus: it is marked, not switched off.
  row.querySelector('[data-act="up"]').setAttribute('aria-disabled', String(place === 0));
  row.querySelector('[data-act="down"]').setAttribute('aria-disabled', String(place === count - 1));
  row.querySelector('[data-act="joint"]').hidden = place === count - 1;
}
