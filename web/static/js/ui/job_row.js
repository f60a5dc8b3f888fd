/** Fills one job of the work page. */

const STATE_WORDS = { waiting: 'waiting', running: 'running', silent: 'no sign of life', stopping: 'stopping', done: 'done', failed: 'failed', cancelled: 'cancelled' };

const percent = (progress) => `${Math.round(progress * 100)} %`;

/** A new row from the page's template. */
export function newRow(job) {
  const row = document.getElementById('job').content.firstElementChild.cloneNode(true);
  row.dataset.job = job.id;
  return row;
}

/** Say that how far a row's job is cannot be known now. */
export function doubtRow(row) {
  if (!['running', 'stopping', 'waiting', 'silent'].includes(row.dataset.state)) return;
  row.dataset.state = 'unknown';
  row.querySelector('[data-part="state"]').textContent = 'not known';
  row.querySelector('[data-part="progress"]').hidden = true;
  row.querySelector('[data-part="text"]').textContent = '';
  row.querySelectorAll('[data-act]').forEach((button) => { button.hidden = true; });
}

/** Bring a row up to date. */
export function fillRow(row, job) {
  const part = (name) => row.querySelector(`[data-part="${name}"]`);
  const isRunning = job.state === 'running' || job.state === 'stopping';
  row.dataset.state = job.state;
  part('state').textContent = isRunning ? `${STATE_WORDS[job.state]}, ${percent(job.progress)}` : STATE_WORDS[job.state];
  part('progress').hidden = !isRunning;
  part('progress').value = job.progress;
  part('text').textContent = job.error || job.message;
  const title = part('title');
  if (title.textContent !== job.title) {
    const link = job.address ? Object.assign(document.createElement('a'), { href: job.address }) : document.createElement('span');
    link.textContent = job.title;
    title.replaceChildren(link);
  }
  row.querySelectorAll('[data-part="what"]').forEach((what) => { what.textContent = ` ${job.title}`; });
  row.querySelector('[data-act="cancel"]').hidden = !job.can_cancel;
  row.querySelector('[data-act="retry"]').hidden = !job.can_retry;
}
