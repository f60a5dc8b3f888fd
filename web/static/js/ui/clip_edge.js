/** What was typed at the edges of a clip and could not be saved: it stays, with the reason beside it. */

import { fine, parseClock } from '../model/clock.js';

export const EDGES = { start: 'start_ms', end: 'end_ms' };

const groupOf = (row, edge) => row.querySelector(`[data-edge="${edge}"]`);
const fieldOf = (row, edge) => row.querySelector(`[data-field="${edge}"]`);
const stored = (row, edge) => fine(row.clip[EDGES[edge]]);

/** What was typed and is not saved, in whole ms where it is a time, by key of the clip. */
export function typedOf(row) {
  const found = {};
  for (const [edge, key] of Object.entries(EDGES)) {
    const ms = edge in row.typed ? parseClock(row.typed[edge]) : null;
    if (ms !== null) found[key] = ms;
  }
  return found;
}

/** Say beside the field why the edge is not changed. What was typed stays and is marked; a button puts it back. */
export function refuse(row, edge, text) {
  const group = groupOf(row, edge);
  const field = fieldOf(row, edge);
  const box = group.querySelector('[data-fault]');
  const sentence = box.querySelector('[data-fault-text]');
  const isTyped = edge in row.typed;
  sentence.id ||= `${field.id}-fault`;
  box.hidden = false;
  sentence.textContent = text;
  const button = box.querySelector('[data-put-back]');
  button.hidden = !isTyped;
  button.textContent = `Put ${stored(row, edge)} back`;
  box.scrollIntoView({ block: 'nearest' });
  field.setAttribute('aria-describedby', sentence.id);
  if (isTyped) field.setAttribute('aria-invalid', 'true');
  else field.removeAttribute('aria-invalid');
  for (const other of Object.keys(EDGES)) {
    if (other !== edge && other in row.typed) groupOf(row, other).querySelector('[data-fault-text]').textContent = 'Not saved yet.';
  }
}

function clear(row, edge) {
  delete row.typed[edge];
  groupOf(row, edge).querySelector('[data-fault]').hidden = true;
  groupOf(row, edge).querySelector('[data-fault-text]').textContent = '';
  fieldOf(row, edge).removeAttribute('aria-describedby');
  fieldOf(row, edge).removeAttribute('aria-invalid');
}

/** Both edges are as stored: nothing is held back any more. */
export function accept(row) {
  for (const edge of Object.keys(EDGES)) clear(row, edge);
}

/** Show again what is stored. */
export function putBack(row, edge) {
  clear(row, edge);
  fieldOf(row, edge).value = stored(row, edge);
  fieldOf(row, edge).focus();
}
