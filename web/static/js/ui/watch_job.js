/** Watches a piece of long work until it has ended. */

import { get } from '../api.js';

const LOOK_MS = 500;
const ENDED = ['done', 'failed', 'cancelled'];

/** Resolves to the job that has ended; `told(text, progress)` hears how far it is. */
export async function watchJob(id, told) {
  for (;;) {
    const { job } = await get(`/api/work/${id}`);
    const text = job.message || 'Working';
    told(job.state === 'waiting' ? 'Waiting for other work' : text[0].toUpperCase() + text.slice(1), job.progress);
    if (ENDED.includes(job.state)) return job;
    await new Promise((resolve) => { setTimeout(resolve, LOOK_MS); });
  }
}
