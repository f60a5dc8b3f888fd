/** Brings the parts of this page up to date that are marked `data-kept-fresh="name"`, without loading it again. */

import { getPage } from '../api.js';
import { removeButton } from './remove.js';
import { saveForm } from './save_form.js';

export async function keepFresh() {
  const page = await getPage(location.href);
  for (const part of document.querySelectorAll('[data-kept-fresh]')) {
    const now = page.querySelector(`[data-kept-fresh="${part.dataset.keptFresh}"]`);
    if (!now || part.contains(document.activeElement)) continue;
    const chosen = part.value;
    part.replaceChildren(...now.childNodes);
    if (part.tagName === 'SELECT') part.value = chosen;
    part.querySelectorAll('form[data-api]:not([data-own])').forEach((form) => saveForm(form));
    part.querySelectorAll('[data-remove]').forEach(removeButton);
  }
}
