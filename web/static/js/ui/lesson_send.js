/** Sends a change of a lesson; when another window saved first, it is asked which to keep. */

import { send } from '../api.js';
import { askWhich } from './conflict.js';

export async function sendLesson(method, address, body) {
  try {
    return await send(method, address, body);
  } catch (error) {
    if (error.code !== 'changed_elsewhere') throw error;
    const choice = await askWhich(error.data);
    if (choice === 'yours') return sendLesson(method, address, { ...body, version: error.data.theirs.version });
    if (choice === 'theirs') location.reload();
    throw error;
  }
}
