/** Find and replace over the session; transcripts in, and the language of a recording. */

import { send, sendBytes } from '../api.js';
import { clock } from '../model/clock.js';
import { say, warn } from './say.js';

function replaceForm(box, session, { onLines, undo }) {
  const form = box.querySelector('form');
  const button = box.querySelector('[data-replace-now]');
  const told = box.querySelector('[data-replace-told]');
  const list = box.querySelector('[data-replace-shown]');
  const fields = () => ({
    sought: form.elements.sought.value,
    replacement: form.elements.replacement.value,
    whole_words: form.elements.whole_words.checked,
    same_capitals: form.elements.same_capitals.checked,
  });

  function clear() {
    button.disabled = true;
    told.textContent = '';
    list.replaceChildren();
  }
  form.addEventListener('input', clear); // what was looked at is what is replaced

  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    try {
      const { lines, shown, message } = await send('POST', `/api/sessions/${session}/replace/preview`, fields());
      told.textContent = shown.length < lines ? `${message} The first ${shown.length}:` : message;
      list.replaceChildren(...shown.map(({ at_ms: at, after }) => Object.assign(document.createElement('li'), { textContent: `${clock(at)} ${after}` })));
      button.disabled = lines === 0;
    } catch (error) {
      warn(error);
    }
  });
  button.addEventListener('click', async () => {
    try {
      const { message, step } = await send('POST', `/api/sessions/${session}/replace`, fields());
      clear();
      await onLines();
      say(message, { undo, step });
    } catch (error) {
      warn(error);
    }
  });
}

/** `onLines(recording)` brings the lines on the page in step, of one recording when all of them are others. */
export function diaryWords(root, { session, onLines, onWork, undo }) {
  replaceForm(root.querySelector('[data-replace]'), session, { onLines, undo });
  const idOf = (element) => Number(element.closest('[data-words-of]').dataset.wordsOf);

  async function bring(input) {
    const [file] = input.files;
    if (!file) return;
    try {
      const { message, step } = await sendBytes(`/api/recordings/${idOf(input)}/transcript`, await file.arrayBuffer());
      await onLines(idOf(input));
      say(message, { undo, step });
    } catch (error) {
      input.value = '';
      warn(error);
    }
  }

  async function ask(action) {
    try {
      return await action();
    } catch (error) {
      return warn(error);
    }
  }

  root.addEventListener('change', ({ target }) => {
    if (target.matches('[data-bring]')) bring(target);
    if (target.matches('[data-language]')) {
      ask(async () => {
        const { message, step } = await send('PUT', `/api/recordings/${idOf(target)}/language`, { language: target.value });
        say(message, { undo, step });
      });
    }
  });
  root.addEventListener('click', ({ target }) => {
    if (!target.matches('[data-listen-again]')) return;
    ask(async () => {
      const { message } = await send('POST', `/api/recordings/${idOf(target)}/listen`);
      onWork();
      say(message);
    });
  });
}
