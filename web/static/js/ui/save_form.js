/** A form that saves itself as JSON: `data-api` the address, `data-method` the method, `data-then` where to go. */

import { send } from '../api.js';
import { askWhich } from './conflict.js';
import { sayNext, warn } from './say.js';

/** The fields of a form by name; `data-kind` says number, list (one a line), flag or choices. */
export function fieldsOf(form) {
  const values = {};
  for (const field of form.elements) {
    if (!field.name) continue;
    const { kind } = field.dataset;
    if (field.type === 'radio' && !field.checked) continue;
    if (kind === 'number') values[field.name] = field.value === '' ? null : Number(field.value);
    else if (kind === 'list') values[field.name] = field.value.split('\n').map((line) => line.trim()).filter(Boolean);
    else if (kind === 'flag') values[field.name] = field.value === 'true';
    else if (kind === 'choices') values[field.name] = [...(values[field.name] ?? []), ...(field.checked ? [field.value] : [])];
    else if (field.type === 'checkbox') values[field.name] = field.checked;
    else values[field.name] = field.value;
  }
  return values;
}

async function save(form, values) {
  try {
    return await send(form.dataset.method ?? 'POST', form.dataset.api, values);
  } catch (error) {
    if (error.code !== 'changed_elsewhere') throw error;
    const choice = await askWhich(error.data);
    if (choice === 'theirs') location.reload();
    if (choice !== 'yours') return null;
    return save(form, { ...values, version: error.data.theirs.version });
  }
}

function showError(form, error) {
  const place = form.querySelector('[data-form-error]');
  if (!place) return warn(error);
  place.textContent = error.message;
  place.hidden = false;
  return place.focus();
}

/** Make a form save itself; `after(answer)` decides what follows, else the page named by the answer is opened. */
export function saveForm(form, after) {
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    const button = form.querySelector('[type="submit"]');
    button.disabled = true;
    try {
      const answer = await save(form, fieldsOf(form));
      if (!answer) return;
      if (after) return after(answer);
      sayNext(answer.message ?? 'Saved.');
      const next = form.dataset.then || answer.location;
      if (next && next !== location.pathname) location.assign(next);
      else location.reload();
    } catch (error) {
      showError(form, error);
    } finally {
      button.disabled = false;
    }
  });
}
