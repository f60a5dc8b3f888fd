/** A press that puts the reed of a card that was seen in hand for its whole recording. */

import { send } from '../api.js';
import { sayNext, warn } from './say.js';

/** Listens on the whole page: chapters of the diary are brought anew. `data-set-reed` is the recording. */
export function setReed() {
  document.addEventListener('click', async ({ target }) => {
    const button = target.closest('[data-set-reed]');
    if (!button) return;
    const { setReed: recording, reed, version } = button.dataset;
    button.disabled = true;
    try {
      const values = { reed_id: Number(reed), version: Number(version) };
      const { message, step } = await send('PUT', `/api/recordings/${recording}`, values);
      sayNext(message, step);
      location.reload();
    } catch (error) {
      button.disabled = false;
      warn(error);
    }
  });
}
