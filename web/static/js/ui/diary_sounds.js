/** What was measured in a sound is fetched when its line is opened for the first time. */

import { get } from '../api.js';
import { warn } from './say.js';
import { stackTable } from './stack_table.js';

async function fill(details) {
  const box = document.createElement('div');
  box.textContent = 'One moment …';
  details.append(box);
  try {
    const { html } = await get(`/api/sounds/${details.dataset.sound}`);
    box.innerHTML = html;
    box.querySelectorAll('.table-wrap').forEach(stackTable);
  } catch (error) {
    box.remove();
    details.open = false;
    warn(error);
  }
}

/** `root` holds the rows; the toggle event does not bubble, so it is caught on its way down. */
export function diarySounds(root) {
  root.addEventListener(
    'toggle',
    ({ target }) => {
      if (target.matches('[data-sound]') && target.open && !target.querySelector(':scope > div')) fill(target);
    },
    true,
  );
}
