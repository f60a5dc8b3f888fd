/** The export of one clip alone: asked for, watched, cancelled; then its files are offered. */

import { get, send } from '../api.js';
import { askLeave } from './ask_leave.js';
import { watchJob } from './watch_job.js';

const part = (row, name) => row.querySelector(`[data-alone-${name}]`);

function fail(row, text) {
  part(row, 'error').textContent = text;
  part(row, 'error').hidden = !text;
}

async function start(lessonId, number, mayLeave = false) {
  try {
    return await send('POST', `/api/lessons/${lessonId}/clips/${number}/export`, { may_leave: mayLeave });
  } catch (error) {
    if (error.code !== 'ask_first') throw error;
    const { asks_first: questions } = await get(`/api/lessons/${lessonId}/clips/${number}/asks`);
    return (await askLeave(questions)) ? start(lessonId, number, true) : null;
  }
}

async function watch(row, jobId, reload) {
  if (row.dataset.aloneJob === String(jobId)) return;
  row.dataset.aloneJob = jobId;
  part(row, 'run').hidden = false;
  row.querySelector('[data-choices]').open = true;
  const job = await watchJob(jobId, (text, progress) => {
    if (part(row, 'said').textContent !== text) part(row, 'said').textContent = text;
    part(row, 'bar').value = progress;
  });
  part(row, 'run').hidden = true;
  delete row.dataset.aloneJob;
  if (job.state === 'done') await reload();
  else fail(row, job.error || 'The export was stopped.');
}

/** Export the clip of a row, the `number`-th (from 1); `reload()` shows the lesson anew when it is done. */
export async function exportClip(row, lessonId, number, reload) {
  fail(row, '');
  try {
    const answer = await start(lessonId, number);
    if (answer) await watch(row, answer.job.id, reload);
  } catch (error) {
    fail(row, error.message);
  }
}

export const cancelClip = (row) => send('POST', `/api/work/${row.dataset.aloneJob}/cancel`).catch((error) => fail(row, error.message));

/** Show what the newest export of a clip made, and go on watching one under way. */
export function showAlone(row, clip, reload) {
  const list = part(row, 'files');
  list.hidden = !clip.alone?.files.length;
  part(row, 'older').hidden = !clip.alone?.is_older;
  list.replaceChildren(...(clip.alone?.files ?? []).map(({ name, address }) => {
    const item = document.createElement('li');
    item.append(Object.assign(document.createElement('a'), { href: address, textContent: name }));
    return item;
  }));
  if (clip.alone_job) watch(row, clip.alone_job, reload).catch((error) => fail(row, error.message));
}
