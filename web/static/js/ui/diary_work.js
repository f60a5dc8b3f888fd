/** The state of the work on each recording, asked for now and then. */

import { get } from '../api.js';

const BUSY_MS = 1500;
const IDLE_MS = 15000;

/** `onDone(recordingId, kind, recordings)` is told when work ends that was under way; `look()` asks at once. */
export function diaryWork(root, session, onDone) {
  const states = new Map();
  let timer = null;

  function show(work) {
    for (const list of root.querySelectorAll('[data-work-of]')) {
      const own = work.filter((one) => one.recording_id === Number(list.dataset.workOf) && one.state !== 'done');
      const text = own.map((one) => one.told).join('\n');
      if (list.dataset.told === text) continue;
      list.dataset.told = text;
      list.replaceChildren(
        ...own.map((one) => {
          const item = Object.assign(document.createElement('li'), { className: `diary-work-line is-${one.state}`, textContent: one.told });
          if (one.state === 'running') item.append(' ', Object.assign(document.createElement('progress'), { max: 1, value: one.progress, ariaLabel: one.name }));
          if (one.state === 'failed') item.append(' ', Object.assign(document.createElement('a'), { href: '/work', textContent: 'Look at the work' }));
          return item;
        }),
      );
    }
  }

  /** The language as it is stored, which listening and undo may have changed. */
  function showLanguages(recordings) {
    for (const { id, language } of recordings) {
      const select = root.querySelector(`[data-words-of="${id}"] [data-language]`);
      if (select && select !== document.activeElement) select.value = language;
    }
  }

  async function look() {
    clearTimeout(timer);
    let isBusy = false;
    try {
      const { work, recordings } = await get(`/api/sessions/${session}/work`);
      show(work);
      showLanguages(recordings);
      for (const one of work) {
        const before = states.get(one.job);
        states.set(one.job, one.state);
        if (one.state === 'waiting' || one.state === 'running') isBusy = true;
        else if (one.state === 'done' && before && before !== 'done') onDone(one.recording_id, one.kind, recordings);
      }
    } catch {
      // The next look will tell.
    }
    clearTimeout(timer);
    timer = setTimeout(look, isBusy ? BUSY_MS : IDLE_MS);
  }
  look();
  return { look };
}
