/** A field for a file that is brought in as soon as it is chosen; undo takes it out again. */

import { sendBytes } from '../api.js';
import { sayNext, warn } from './say.js';

/** `data-bring-file` is the address that takes the file's bytes. */
export function bringFile(field) {
  field.addEventListener('change', async () => {
    const [file] = field.files;
    if (!file) return;
    try {
      const { message, step } = await sendBytes(field.dataset.bringFile, await file.arrayBuffer());
      sayNext(message, step);
      location.reload();
    } catch (error) {
      field.value = '';
      warn(error);
    }
  });
}
