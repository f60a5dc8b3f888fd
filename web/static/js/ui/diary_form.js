/** A form that opens beside the lines: opens, reads its fields, saves, and asks which version to keep. */

import { send } from '../api.js';
import { fine, parseClock } from '../model/clock.js';
import { askWhich } from './conflict.js';
import { refusals } from './refused.js';

/**
 * `section` holds the form. `kind` is `{address, empty, fill(form, value), read(form), blamed(error, form)}`.
 * `onSaved(answer)`, `onRemoved(answer)`, `onTheirs(id)`, `onClosed()` say what follows.
 */
export function diaryForm(section, kind, { onSaved, onRemoved, onTheirs, onClosed, now }) {
  const form = section.querySelector('form');
  const refused = refusals(form.querySelector('[data-form-error]'));
  const remove = form.querySelector('[data-remove-card]');
  let open = null; // the value in hand, as stored or as begun

  function timesOf() {
    const times = {};
    for (const field of form.querySelectorAll('[data-time]')) {
      const ms = parseClock(field.value);
      const text = `${field.value || '(nothing)'} is not a time. Write minutes and seconds, for example 1:23.4.`;
      if (ms === null) throw Object.assign(new Error(text), { fields: [field] });
      times[field.name] = ms;
    }
    return times;
  }

  async function write(method, values) {
    const own = open.suggestion ? `/api/suggestions/${open.suggestion}/accept` : kind.address;
    const address = open.id ? `${kind.address}/${open.id}` : own;
    try {
      return await send(method, address, values);
    } catch (error) {
      if (error.code !== 'changed_elsewhere') throw error;
      const choice = await askWhich(error.data);
      if (choice === 'theirs') {
        await onTheirs(open.id);
        hide();
      }
      if (choice !== 'yours') return null;
      return write(method, { ...values, version: error.data.theirs.version });
    }
  }

  async function save() {
    refused.clear();
    try {
      const values = { ...open, ...kind.read(form), ...timesOf() };
      const answer = await write(open.id ? 'PUT' : 'POST', values);
      if (!answer) return;
      hide();
      onSaved(answer);
    } catch (error) {
      refused.show(error.message, error.fields ?? kind.blamed(error, form).filter(Boolean));
    }
  }

  function hide() {
    if (section.hidden) return;
    section.hidden = true;
    open = null;
    onClosed();
  }

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    save();
  });
  form.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') hide();
    else if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) save();
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  form.querySelector('[data-close]').addEventListener('click', hide);
  form.addEventListener('click', (event) => {
    const name = event.target.closest('[data-now]')?.dataset.now;
    if (name) form.elements[name].value = fine(now());
  });
  remove.addEventListener('click', async () => {
    try {
      const answer = await write('DELETE', { version: open.version });
      if (!answer) return;
      hide();
      onRemoved(answer);
    } catch (error) {
      refused.show(error.message);
    }
  });

  return {
    get value() {
      return open;
    },
    get isOpen() {
      return !section.hidden;
    },
    /** Change the stretch of the open form. */
    setTimes(times) {
      for (const [name, ms] of Object.entries(times)) if (form.elements[name]) form.elements[name].value = fine(ms);
    },
    open(value, focusOn) {
      open = value;
      refused.clear();
      section.querySelector('[data-form-name]').textContent = value.id ? kind.names[1] : kind.names[0];
      remove.hidden = !value.id;
      for (const field of form.querySelectorAll('[data-time]')) field.value = fine(value[field.name] ?? 0);
      kind.fill(form, value);
      section.hidden = false;
      section.scrollTop = 0;
      (focusOn ?? kind.focus(form)).focus({ preventScroll: true });
    },
    save,
    hide,
  };
}
