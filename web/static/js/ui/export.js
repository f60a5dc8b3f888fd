/** The export of a lesson: asked for, watched, cancelled; then what came out is shown. */

import { get, send } from '../api.js';
import { film } from './film.js';

const LOOK_MS = 700;

export function exporter(lessonId) {
  const part = (name) => document.querySelector(`[data-export-${name}]`);
  const [run, said, bar, problem] = ['run', 'said', 'bar', 'error'].map(part);
  const button = document.querySelector('[data-export]');

  let version = null;

  /** Say beside the button and the film when the lesson has changed since. */
  const showAge = () => {
    const made = document.querySelector('[data-export-version]')?.dataset.exportVersion;
    const isOlder = Boolean(made) && version !== null && Number(made) < version;
    document.querySelectorAll('[data-export-older]').forEach((note) => { note.hidden = !isOlder; });
  };

  const fail = (text) => {
    problem.textContent = text;
    problem.hidden = !text;
  };

  const finish = async (job) => {
    run.hidden = true;
    button.setAttribute('aria-disabled', 'false');
    if (job.state !== 'done') return fail(job.error || 'The export was stopped.');
    const page = await fetchPart(`/api/lessons/${lessonId}/exported`);
    document.querySelector('[data-exported]').replaceChildren(...page);
    film();
    showAge();
    return undefined;
  };

  const watch = async (id) => {
    run.hidden = false;
    run.dataset.job = id;
    button.setAttribute('aria-disabled', 'true'); // not switched off: it must keep the focus
    const { job } = await get(`/api/work/${id}`);
    bar.value = job.progress;
    const told = job.message || 'Exporting';
    const text = job.state === 'waiting' ? 'Waiting for other work' : told[0].toUpperCase() + told.slice(1);
    if (said.textContent !== text) said.textContent = text;
    if (['done', 'failed', 'cancelled'].includes(job.state)) return finish(job);
    setTimeout(() => watch(id).catch((error) => fail(error.message)), LOOK_MS);
    return undefined;
  };

  const start = async (mayLeave) => {
    fail('');
    try {
      const { job } = await send('POST', `/api/lessons/${lessonId}/export`, { may_leave: mayLeave });
      await watch(job.id);
    } catch (error) {
      if (error.code === 'ask_first') return ask(start);
      fail(error.message);
    }
    return undefined;
  };

  button.addEventListener('click', () => {
    if (button.getAttribute('aria-disabled') === 'true') return;
    document.getElementById('exported').scrollIntoView({ block: 'nearest' });
    start(false);
  });
  part('cancel').addEventListener('click', () => send('POST', `/api/work/${run.dataset.job}/cancel`).catch((error) => fail(error.message)));
  if (run.dataset.job) watch(run.dataset.job).catch((error) => fail(error.message));

  return {
    /** The lesson is this version now. */
    isOf(now) {
      version = now;
      showAge();
    },
  };
}

/** A session that is not free to share is asked about before anything leaves. */
async function ask(start) {
  const dialog = document.getElementById('ask-first');
  const { lesson } = await get(`/api/lessons/${document.querySelector('[data-lesson]').dataset.lesson}`);
  dialog.querySelector('[data-ask-list]').replaceChildren(...lesson.asks_first.map((text) => Object.assign(document.createElement('li'), { textContent: text })));
  dialog.returnValue = '';
  dialog.querySelectorAll('[data-ask]').forEach((button) => { button.onclick = () => dialog.close(button.dataset.ask); });
  dialog.addEventListener('close', () => { if (dialog.returnValue === 'yes') start(true); }, { once: true });
  dialog.showModal();
}

async function fetchPart(address) {
  const { html } = await get(address);
  return new DOMParser().parseFromString(html, 'text/html').body.childNodes;
}
