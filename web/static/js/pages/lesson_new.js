/** Choosing moments for a new lesson, or for one that is there. */

import { saveForm } from '../ui/save_form.js';

const form = document.querySelector('[data-new-lesson]');
const all = form.querySelector('[data-all]');
const into = form.querySelector('[data-into]');
const boxes = [...form.querySelectorAll('.choose')];

all?.addEventListener('change', () => boxes.forEach((box) => { box.checked = all.checked; }));
boxes.forEach((box) => box.addEventListener('change', () => {
  const count = boxes.filter((one) => one.checked).length;
  all.checked = count === boxes.length;
  all.indeterminate = count > 0 && count < boxes.length;
}));

into?.addEventListener('change', () => {
  const isNew = !into.value;
  form.dataset.api = isNew ? '/api/lessons' : `/api/lessons/${into.value}/clips`;
  form.dataset.then = isNew ? '' : `/lessons/${into.value}`;
  form.querySelectorAll('[data-only-new]').forEach((field) => { field.hidden = !isNew; });
  form.elements.title.required = isNew;
  form.querySelector('[type="submit"]').textContent = isNew ? 'Make the lesson' : 'Add to the lesson';
});

saveForm(form);
