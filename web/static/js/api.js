/** The only place that talks to the server. Every change carries this run's token. */

const token = () => document.querySelector('meta[name="page-token"]').content;

/** An answer that is not a success; `message` is a sentence to show. */
export class ApiError extends Error {
  constructor(status, data) {
    super(data.message);
    this.status = status;
    this.code = data.code;
    this.subject = data.subject;
    this.data = data;
  }
}

async function read(answer) {
  let body = null;
  try {
    body = await answer.json();
  } catch {
    throw new ApiError(answer.status, { code: 'failed', message: 'The program gave no answer that can be read.' });
  }
  if (!answer.ok) throw new ApiError(answer.status, body.error);
  const step = answer.headers.get('X-Step'); // the step of undo that the change made
  if (step) body.step = Number(step);
  return body;
}

async function ask(address, options) {
  let answer;
  try {
    answer = await fetch(address, { credentials: 'same-origin', cache: 'no-store', ...options });
  } catch (error) {
    if (error.name === 'AbortError') throw error;
    throw new ApiError(0, { code: 'unreachable', message: 'The program does not answer. Is it still running?' });
  }
  return read(answer);
}

/** Read something. */
export const get = (address) => ask(address, { headers: { Accept: 'application/json' } });

/** Change something: `method` is POST, PUT, PATCH or DELETE, `body` an object. */
export const send = (method, address, body = {}, { signal } = {}) =>
  ask(address, {
    method,
    signal,
    headers: { 'Content-Type': 'application/json', 'X-Page-Token': token() },
    body: JSON.stringify(body),
  });

/** Send raw bytes (a piece of a file). */
export const sendBytes = (address, bytes, { signal } = {}) =>
  ask(address, {
    method: 'PUT',
    signal,
    headers: { 'Content-Type': 'application/octet-stream', 'X-Page-Token': token() },
    body: bytes,
  });

/** Read one of our own pages anew, as a document. */
export async function getPage(address) {
  const answer = await fetch(address, { credentials: 'same-origin', cache: 'no-store', headers: { Accept: 'text/html' } });
  if (!answer.ok) throw new ApiError(answer.status, { code: 'failed', message: 'The page could not be read anew. Load it again.' });
  return new DOMParser().parseFromString(await answer.text(), 'text/html');
}

/** Read a file of bytes (a waveform). */
export async function getBytes(address) {
  const answer = await fetch(address, { credentials: 'same-origin' });
  if (!answer.ok) await read(answer);
  return answer.arrayBuffer();
}
