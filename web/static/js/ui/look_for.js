/** Looks for the file of a clip's recording, or of what it is set against, in a folder that is typed. */

import { send } from '../api.js';
import { say } from './say.js';
import { watchJob } from './watch_job.js';

/** The form of a row; `what()` is the recording's id and name; `reload()` shows the lesson anew when the file is found. */
export function lookFor(form, what, reload) {
  const said = form.querySelector('[data-look-said]');
  const bar = form.querySelector('[data-look-bar]');
  const button = form.querySelector('[type="submit"]');

  const look = async () => {
    const { id, name } = what();
    const { job } = await send('POST', `/api/recordings/${id}/look`, { folder: form.elements.folder.value });
    bar.hidden = false;
    const ended = await watchJob(job.id, (text, progress) => {
      if (said.textContent !== text) said.textContent = text;
      bar.value = progress;
    });
    said.textContent = ended.state === 'done' ? '' : ended.error || 'The search was stopped.';
    if (ended.state !== 'done') return;
    await reload();
    say(`${name} is found: its clips can be played again.`);
  };

  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    button.disabled = true;
    try {
      await look();
    } catch (error) {
      said.textContent = error.message;
    } finally {
      bar.hidden = true;
      button.disabled = false;
    }
  });
}
