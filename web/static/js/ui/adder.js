/** Dropped or chosen files go into a session one after the other; one that is refused does not stop the rest. */

import { send } from '../api.js';
import { dayOf } from '../model/pieces.js';
import { fileRow } from './file_row.js';
import { refusals } from './refused.js';
import { sendFile } from './send_file.js';

/** `onAdded()` is told of each file that was taken in. */
export function adder(box, onAdded) {
  const list = box.querySelector('[data-adder-list]');
  const into = box.querySelector('[data-adder-into]');
  const reed = box.querySelector('[data-adder-reed]');
  let made = null;
  let queue = Promise.resolve();

  const sessionFor = async (day) => {
    const chosen = Number(box.dataset.session || into?.value || 0);
    if (chosen) return chosen;
    made ??= (await send('POST', '/api/sessions', { date: day })).session.id;
    return made;
  };

  const dropIfEmpty = async (added) => {
    if (!made || added.size) return;
    await send('DELETE', `/api/sessions/${made}`).catch(() => {});
    made = null;
  };

  const showDone = (added) => {
    if (!added.size) return;
    const done = box.querySelector('[data-adder-done]');
    const links = [...added].map((id) => {
      const address = `/sessions/${id}`;
      return Object.assign(document.createElement('a'), { className: 'button is-main', href: address, textContent: 'Open the session' });
    });
    done.replaceChildren(...links);
    done.hidden = false;
  };

  const added = new Set();
  const addOne = async (name, day, action) => {
    const row = fileRow(list, name);
    try {
      const { recording, message } = await action(await sessionFor(day), row);
      added.add(recording.session_id);
      row.end(recording.probe.cut_short ? 'doubtful' : 'added', message);
      await onAdded();
    } catch (error) {
      row.end('refused', error.name === 'AbortError' ? 'Stopped. Nothing of it was kept.' : error.message);
      if (error.code === 'already_there') await row.linkTo(error.data.existing_id);
    }
    await dropIfEmpty(added);
    showDone(added);
  };

  const addFiles = (files) => {
    for (const file of files) {
      queue = queue.then(() => addOne(file.name, dayOf(file.lastModified), (sessionId, row) =>
        sendFile(file, { sessionId, reedId: Number(reed?.value) || null, progress: row.progress, signal: row.signal })));
    }
  };

  const chooser = box.querySelector('[data-adder-files]');
  chooser.addEventListener('change', () => {
    addFiles([...chooser.files]);
    chooser.value = '';
  });
  const place = box.querySelector('[data-adder-place]');
  const refused = refusals(place.querySelector('[data-form-error]'));
  place.addEventListener('submit', (event) => {
    event.preventDefault();
    const path = place.elements.path.value;
    refused.clear();
    if (!path.trim()) return refused.show('No file is named. Write the whole path of a file on this computer.', [place.elements.path]);
    queue = queue.then(() => addOne(path, dayOf(Date.now()), (sessionId, row) => {
      row.progress(1);
      const key = crypto.randomUUID(); // the answer to what was asked says whether the stop came in time
      row.signal.addEventListener('abort', () => send('DELETE', `/api/in-place/${key}`).catch(() => {}));
      return send('POST', `/api/sessions/${sessionId}/in-place`, { path, reed_id: Number(reed?.value) || null, key });
    }));
    return undefined;
  });
  takeDrops(box.querySelector('[data-adder-drop]'), addFiles);
}

function takeDrops(field, addFiles) {
  const mark = (isOver) => field.classList.toggle('is-over', isOver);
  field.addEventListener('dragover', (event) => {
    event.preventDefault();
    mark(true);
  });
  field.addEventListener('dragleave', () => mark(false));
  field.addEventListener('drop', (event) => {
    event.preventDefault();
    mark(false);
    addFiles([...event.dataTransfer.files]);
  });
}
