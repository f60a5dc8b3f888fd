/** How a lesson is shown: each choice is saved as soon as it is made. */

import { sendLesson } from './lesson_send.js';

const LEAST = 'Give 2 to 3600 seconds.';

const valueOf = (field) => {
  if (field.type === 'checkbox') return field.checked;
  if (field.dataset.kind === 'seconds') return Math.round(field.valueAsNumber * 1000);
  return field.dataset.kind === 'number' ? Number(field.value) : field.value;
};

const fill = (field, value) => {
  if (field.type === 'checkbox') field.checked = value;
  else if (field.dataset.kind !== 'seconds') field.value = String(value);
  else if (value !== null && valueOf(field) !== value) field.value = String(value / 1000);
};

/** `queue(make)` saves after what is being saved: `make(lesson)` sends, and gives the answer. */
export function showing(box, { queue }) {
  const quiet = box.querySelector('[data-show-quiet]');
  const more = box.querySelector('[data-show-quiet-more]');
  const problem = box.querySelector('[data-showing-error]');
  const fields = [...box.querySelectorAll('[data-show]')];

  const fail = (text) => {
    problem.textContent = text;
    problem.hidden = !text;
  };

  let pending = 0; // choices made and not stored yet: an earlier answer must not show them as they were

  const save = async (values) => {
    fail('');
    pending += 1;
    await queue((lesson) => sendLesson('PUT', `/api/lessons/${lesson.id}/showing`, { version: lesson.version, ...values }), (error) => fail(error.message));
    pending -= 1;
  };

  const isTime = (field) => {
    const isFine = field.checkValidity();
    if (isFine) field.removeAttribute('aria-invalid');
    else field.setAttribute('aria-invalid', 'true');
    if (!isFine) fail(`${field.labels[0].textContent}: ${LEAST}`);
    return isFine;
  };

  box.addEventListener('change', ({ target }) => {
    if (target === quiet) {
      const field = more.querySelector('[data-show]');
      more.hidden = !quiet.checked;
      if (quiet.checked && !field.checkValidity()) field.value = '5';
      save({ [field.dataset.show]: quiet.checked ? valueOf(field) : null });
    } else if (target.dataset.show && (target.dataset.kind !== 'seconds' || isTime(target))) {
      save({ [target.dataset.show]: valueOf(target) });
    }
  });

  return {
    /** Bring the choices up to date with the lesson; a field in hand is left alone. */
    show({ showing: now }) {
      if (pending > 1) return;
      for (const field of fields) if (field !== document.activeElement || field.type !== 'number') fill(field, now[field.dataset.show]);
      quiet.checked = now.quiet_longer_ms !== null;
      more.hidden = !quiet.checked;
    },
  };
}
