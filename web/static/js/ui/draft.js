/** "Draft it": fills what is empty in the form that frames a lesson, and says from what. */

import { sendLesson } from './lesson_send.js';
import { fieldsOf } from './save_form.js';
import { warn } from './say.js';

const FILLED = ['goal', 'tools', 'review'];

/** `queue(make)` saves after what is being saved. What was typed and not saved yet is sent along, so that it stays. */
export function drafter(button, form, { queue }) {
  const list = document.querySelector('[data-draft-told]');

  const draft = async (lesson) => {
    const answer = await sendLesson('POST', `/api/lessons/${lesson.id}/draft`, { ...fieldsOf(form), version: lesson.version });
    for (const name of FILLED) {
      const value = answer.lesson[name];
      form.elements[name].value = Array.isArray(value) ? value.join('\n') : value;
    }
    list.replaceChildren(...answer.told.map((text) => Object.assign(document.createElement('li'), { textContent: text })));
    list.hidden = false;
    return answer;
  };

  button.addEventListener('click', async () => {
    button.setAttribute('aria-disabled', 'true');
    await queue(draft, warn);
    button.removeAttribute('aria-disabled');
  });
}
