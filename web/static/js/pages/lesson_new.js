/** Choosing moments for a new lesson, or for one that is there. */

import { saveForm } from '../ui/save_form.js';

const form = document.querySelector('[data-new-lesson]');
const all = form.querySelector('[data-all]');
const into = form.querySelector('[data-into]');
const button = form.querySelector('[type="submit"]');
const boxes = [...form.querySelectorAll('.choose')];
const chosen = () => boxes.filter((box) => box.checked).length;

/** The button says what it does with how many. */
function nameButton() {
  if (!button) return;
  const count = chosen();
  const clips = count === 1 ? '1 clip' : `${count} clips`;
  const full = into?.value ? `Add ${clips} to the lesson` : `Make the lesson of ${clips}`;
  const empty = into?.value ? 'Choose what to add' : 'Make an empty lesson';
  button.textContent = count ? full : empty;
  button.setAttribute('aria-disabled', String(Boolean(into?.value) && !count));
}

function showChosen() {
  const count = chosen();
  if (all) {
    all.checked = count === boxes.length;
    all.indeterminate = count > 0 && count < boxes.length;
  }
  nameButton();
}

function showInto() {
  const isNew = !into?.value;
  form.dataset.api = isNew ? '/api/lessons' : `/api/lessons/${into.value}/clips`;
  form.querySelectorAll('[data-only-new]').forEach((field) => { field.hidden = !isNew; });
  form.elements.title.required = isNew;
  nameButton();
}

all?.addEventListener('change', () => {
  boxes.forEach((box) => { box.checked = all.checked; });
  showChosen();
});
boxes.forEach((box) => box.addEventListener('change', showChosen));
into?.addEventListener('change', showInto);
form.addEventListener('submit', (event) => {
  if (button.getAttribute('aria-disabled') !== 'true') return;
  event.preventDefault();
  event.stopImmediatePropagation();
  boxes[0]?.focus();
});

if (button) {
  saveForm(form);
  showInto();
  showChosen();
}
