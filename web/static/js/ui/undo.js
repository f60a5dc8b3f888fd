/** The undo and redo buttons of every page. A page that can show the change itself listens to 'benchreel:undone'. */

import { send } from '../api.js';
import { say, sayNext, warn } from './say.js';

/** Undo or redo (`step`) the last edit, of one session when it is given. */
export async function takeStep(step, sessionId) {
  try {
    const { message } = await send('POST', `/api/${step}`, sessionId ? { session_id: Number(sessionId) } : {});
    const event = new CustomEvent('benchreel:undone', { cancelable: true, detail: { step, message } });
    if (document.dispatchEvent(event)) {
      sayNext(message);
      location.reload();
    } else {
      say(message);
    }
  } catch (error) {
    warn(error);
  }
}

export function undoButtons(box) {
  for (const button of box.querySelectorAll('[data-undo-step]')) {
    button.addEventListener('click', () => takeStep(button.dataset.undoStep, box.dataset.session));
  }
}
