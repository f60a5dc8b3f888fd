/** Editing a line where it stands: Enter saves, Escape leaves it as it was; a line where nobody spoke is struck out. */

import { get, send } from '../api.js';
import { askWhich } from './conflict.js';
import { say, warn } from './say.js';

/** Another text for a line; without text it is struck out. */
async function write(line, text, version) {
  try {
    return await (text ? send('PUT', `/api/lines/${line}`, { text, version }) : send('DELETE', `/api/lines/${line}`, { version }));
  } catch (error) {
    if (error.code !== 'changed_elsewhere') throw error;
    const choice = await askWhich(error.data);
    if (choice === 'theirs') return get(`/api/lines/${line}`);
    return choice === 'yours' ? write(line, text, error.data.theirs.version) : null;
  }
}

/**
 * Open a row's line for editing; `onSaved(value)` hears of the stored line, `onStruckOut()` that it is no more,
 * `onLeft()` that the focus may go back; `undo` takes it back.
 */
export function editLine(row, { onSaved, onStruckOut, onLeft, undo }) {
  const paragraph = row.element.querySelector('.diary-text');
  if (!paragraph || row.element.querySelector('.diary-line-field')) return;
  const box = Object.assign(document.createElement('div'), { className: 'diary-line-edit' });
  const button = (name, textContent) => Object.assign(document.createElement('button'), { type: 'button', className: `button is-small${name}`, textContent });
  const keep = button(' is-main', 'Save');
  const drop = button('', 'Cancel');
  const strike = button('', 'Strike the line out');
  const field = document.createElement('textarea');
  field.className = 'input diary-line-field';
  field.setAttribute('aria-label', 'Text of the line. Enter saves, Escape leaves it as it was.');
  const opened = { text: paragraph.textContent, version: Number(row.element.dataset.version) }; // another window may save meanwhile
  field.value = opened.text;
  field.rows = Math.max(2, Math.ceil(field.value.length / 50));
  paragraph.hidden = true;
  box.append(field, keep, drop, strike);
  paragraph.after(box);
  row.element.classList.add('is-editing');
  field.focus({ preventScroll: true });
  box.scrollIntoView({ block: 'nearest' });
  let isDone = false;

  const leave = () => {
    isDone = true;
    box.remove();
    row.element.classList.remove('is-editing');
    paragraph.hidden = false;
    onLeft();
  };
  async function save(text = field.value.trim()) {
    if (isDone) return;
    if (text === opened.text) return leave();
    try {
      const answer = await write(row.line, text, opened.version);
      if (!answer) return;
      paragraph.textContent = answer.value.text;
      row.element.dataset.version = answer.value.version;
      leave();
      await (answer.value.text ? onSaved(answer.value) : onStruckOut());
      if (answer.message) say(answer.message, { undo, step: answer.step });
    } catch (error) {
      warn(error);
      field.focus();
    }
  }
  keep.addEventListener('click', () => save());
  strike.addEventListener('click', () => save(''));
  drop.addEventListener('click', leave);
  box.addEventListener('keydown', (event) => {
    event.stopPropagation();
    if (event.key === 'Escape') leave();
    else if (event.target === field && event.key === 'Enter' && !event.shiftKey && !event.isComposing) {
      event.preventDefault();
      save();
    }
  });
}
