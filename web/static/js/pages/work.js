/** The work page keeps itself up to date. */

import { get, send } from '../api.js';
import { doubtRow, fillRow, newRow } from '../ui/job_row.js';
import { warn } from '../ui/say.js';

const LOOK_MS = 1000;
const MISSED_BEFORE_SAID = 2;
const list = document.querySelector('[data-work-list]');
const said = document.querySelector('[data-work-said]');
const gone = document.querySelector('[data-work-gone]');
const before = new Map();
let missed = 0;

function show(jobs) {
  const rows = new Map([...list.children].map((row) => [Number(row.dataset.job), row]));
  jobs.forEach((job, place) => {
    const row = rows.get(job.id) ?? newRow(job);
    fillRow(row, job);
    if (list.children[place] !== row) list.insertBefore(row, list.children[place] ?? null);
    rows.delete(job.id);
    if (before.has(job.id) && before.get(job.id) !== job.state) said.textContent = `${job.title}: ${job.state}. ${job.error}`;
    before.set(job.id, job.state);
  });
  rows.forEach((row) => row.remove());
  document.querySelector('[data-work-empty]').hidden = jobs.length > 0;
}

/** What the page shows is true only while the program answers. */
function doubt() {
  missed += 1;
  if (missed < MISSED_BEFORE_SAID) return;
  gone.hidden = false;
  [...list.children].forEach(doubtRow);
}

async function look() {
  try {
    const { jobs } = await get('/api/work');
    // The program was started again: its new run takes no change from a page of the old one.
    if (missed >= MISSED_BEFORE_SAID) return void location.reload();
    missed = 0;
    show(jobs);
  } catch {
    doubt();
  }
}

list.addEventListener('click', async (event) => {
  const button = event.target.closest('[data-act]');
  if (!button) return;
  try {
    await send('POST', `/api/work/${button.closest('[data-job]').dataset.job}/${button.dataset.act}`);
    await look();
  } catch (error) {
    warn(error);
  }
});

async function keepLooking() {
  if (!document.hidden) await look();
  setTimeout(keepLooking, LOOK_MS);
}
keepLooking();
