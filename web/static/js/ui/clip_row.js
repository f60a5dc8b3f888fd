/** One clip of a lesson as a row with fields and buttons. */

import { fine, parseClock } from '../model/clock.js';
import { byFrames } from '../model/frames.js';
import { inside, lengthOf } from '../model/clips.js';
import { EDGES, putBack, refuse, typedOf } from './clip_edge.js';
import { showEdge } from './edge_frames.js';
import { foldParts, isNarrow } from './fold.js';

/**
 * A new, empty row. `tell(row, change)` hears of every change: `{values}`, `{trim(clip)}` with the `edge` it is of,
 * `{snap}` or `{act}`.
 */
export function clipRow(tell) {
  const row = document.getElementById('clip').content.firstElementChild.cloneNode(true);
  row.typed = {};
  foldParts(row);
  const edgeOf = (element) => element.closest('[data-edge]').dataset.edge;
  row.addEventListener('click', (event) => {
    const step = event.target.closest('[data-step]');
    if (step) tell(row, { edge: edgeOf(step), trim: (clip) => stepped(row, clip, edgeOf(step), step.dataset.step) });
    const snap = event.target.closest('[data-snap]');
    if (snap) tell(row, { edge: edgeOf(snap), snap: Number(snap.dataset.snap) });
    const act = event.target.closest('[data-act]');
    if (act && act.getAttribute('aria-disabled') !== 'true') tell(row, { act: act.dataset.act });
    const back = event.target.closest('[data-put-back]');
    if (back) undone(row, edgeOf(back), tell);
  });
  row.addEventListener('keydown', (event) => {
    const { field } = event.target.dataset;
    if (event.key === 'Escape' && field in row.typed) undone(row, field, tell);
  });
  row.addEventListener('change', (event) => {
    const { field } = event.target.dataset;
    if (!field) return;
    event.target.dataset.filled = event.target.value;
    if (!(field in EDGES)) return void tell(row, { values: { [field]: event.target.value } });
    typed(row, field, event.target.value, tell);
  });
  return row;
}

/** What both fields show is tried together, so that a clip can be moved past where it was. */
function typed(row, edge, text, tell) {
  row.typed[edge] = text;
  if (parseClock(text) !== null) return tell(row, { edge, trim: () => typedOf(row) });
  return refuse(row, edge, `${text ? `“${text}” is not a time.` : 'A time is needed.'} Write for example 1:23.4.`);
}

function undone(row, edge, tell) {
  putBack(row, edge);
  const [other] = Object.keys(row.typed);
  if (other) typed(row, other, row.typed[other], tell);
}

/** An edge moved by a step, from what its field shows. */
function stepped(row, clip, edge, step) {
  const key = EDGES[edge];
  const from = typedOf(row)[key] ?? clip[key];
  const to = step.endsWith('frame') ? byFrames(from, step.startsWith('-') ? -1 : 1, clip.rate) : from + Number(step);
  const values = { ...typedOf(row), [key]: inside(to, clip.recording_duration_ms) };
  if (values[key] === from) throw new Error(`The recording ${to < from ? 'starts' : 'ends'} here.`);
  if (edge in row.typed) {
    row.typed[edge] = fine(values[key]);
    row.querySelector(`[data-field="${edge}"]`).value = row.typed[edge];
  }
  return values;
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
  part('range').textContent = `${fine(clip.start_ms)} to ${fine(clip.end_ms)}`;
  part('missing').hidden = !clip.is_missing;
  part('missing').textContent = clip.is_missing ? missing(clip) : '';
  part('cautions').replaceChildren();
  const values = { title: clip.title, note: clip.note, start: fine(clip.start_ms), end: fine(clip.end_ms) };
  for (const [name, value] of Object.entries(values)) fillField(row, name, value, place);
  if (clip.note && !old && !isNarrow()) row.querySelector('.clip-more').open = true;
  for (const edge of Object.keys(EDGES)) {
    const group = row.querySelector(`[data-edge="${edge}"]`);
    group.setAttribute('aria-label', `${edge === 'start' ? 'Start' : 'End'} of clip ${place + 1}`);
    if (old?.[EDGES[edge]] !== clip[EDGES[edge]] || old.media !== clip.media) showEdge(group.querySelector('[data-frame]'), clip, edge);
  }
  nameButtons(row, place, count);
}

const missing = ({ is_removed: isRemoved, where }) => (isRemoved
  ? `${where} Undo brings it back; else take the clip out.`
  : `${where} is not where it was. Put the file back, look for it, or take the clip out.`);

function fillField(row, name, value, place) {
  const field = row.querySelector(`[data-field="${name}"]`);
  field.id ||= `clip-${crypto.getRandomValues(new Uint32Array(1))[0]}-${name}`;
  row.querySelector(`[data-label="${name}"]`).htmlFor = field.id;
  field.setAttribute('aria-description', `Clip ${place + 1}`);
  if (name in row.typed) return; // not saved yet: what was typed stays
  if (document.activeElement === field && field.value !== field.dataset.filled) return; // being typed
  field.value = value;
  field.dataset.filled = field.value;
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
