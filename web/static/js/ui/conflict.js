/** Shows both versions when another window saved first, and asks which to keep. */

import { differences } from '../model/differences.js';

/** Resolves to 'theirs', 'yours' or '' (decide later). */
export function askWhich({ theirs, yours }) {
  const dialog = document.getElementById('conflict');
  const rows = differences(theirs, yours).map(({ field, theirs: there, yours: mine }) => {
    const row = document.createElement('tr');
    const head = document.createElement('th');
    head.scope = 'row';
    head.textContent = field;
    row.append(head, ...[there, mine].map((text) => Object.assign(document.createElement('td'), { textContent: text })));
    return row;
  });
  dialog.querySelector('[data-conflict-rows]').replaceChildren(...rows);
  return new Promise((resolve) => {
    const choose = (event) => {
      const button = event.target.closest('[data-conflict]');
      if (button) dialog.close(button.dataset.conflict);
    };
    dialog.addEventListener('click', choose);
    dialog.addEventListener(
      'close',
      () => {
        dialog.removeEventListener('click', choose);
        resolve(dialog.returnValue);
      },
      { once: true },
    );
    dialog.returnValue = '';
    dialog.showModal();
  });
}
