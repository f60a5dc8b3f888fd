/** One file on its way: its name, a progress bar, a stop button, and the sentence of what became of it. */

import { get } from '../api.js';

export function fileRow(list, name) {
  const row = document.createElement('li');
  row.className = 'adder-file';
  const title = Object.assign(document.createElement('p'), { textContent: name });
  const bar = Object.assign(document.createElement('progress'), { max: 1, value: 0 });
  bar.setAttribute('aria-label', `Sending ${name}`);
  const said = Object.assign(document.createElement('p'), { className: 'adder-said small', textContent: 'Waiting' });
  const stop = Object.assign(document.createElement('button'), { type: 'button', className: 'button is-small', textContent: 'Stop' });
  stop.setAttribute('aria-label', `Stop sending ${name}`);
  const control = new AbortController();
  stop.addEventListener('click', () => control.abort());
  row.append(title, bar, said, stop);
  list.append(row);
  return {
    signal: control.signal,
    progress(fraction) {
      bar.value = fraction;
      const text = fraction < 1 ? 'Sending' : 'Looking at the file';
      if (said.textContent !== text) said.textContent = text;
      if (fraction >= 1) bar.removeAttribute('value');
    },
    end(state, sentence) {
      row.classList.add(`is-${state}`);
      bar.remove();
      stop.remove();
      said.textContent = sentence;
    },
    /** Lead to the recording that the same file already is. */
    async linkTo(recordingId) {
      row.classList.replace('is-refused', 'is-known');
      const { recording } = await get(`/api/recordings/${recordingId}`);
      const href = `/sessions/${recording.session_id}?recording=${recording.id}`;
      said.append(' ', Object.assign(document.createElement('a'), { href, textContent: 'Open it' }));
    },
  };
}
