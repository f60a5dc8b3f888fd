/** A button that removes something at once; undo brings it back, so nothing is asked first. */

import { send } from '../api.js';
import { sayNext, warn } from './say.js';

/** `data-remove` is the address, `data-then` the page to open after. */
export function removeButton(button) {
  button.addEventListener('click', async () => {
    try {
      const { message, step } = await send('DELETE', button.dataset.remove, {});
      sayNext(message, step);
      if (button.dataset.then) location.assign(button.dataset.then);
      else location.reload();
    } catch (error) {
      warn(error);
    }
  });
}
