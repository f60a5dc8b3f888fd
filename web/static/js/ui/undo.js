/** The undo and redo buttons of every page. A page that can show the change itself listens to 'benchreel:undone'. */

import { get, send } from '../api.js';
import { say, sayNext, warn } from './say.js';

const DO_IT = { undo: 'Take it back', redo: 'Do it again' };

/** Tell the page, or load it again when it does not listen. */
function follow(step, message) {
  document.getElementById('warn').replaceChildren();
  const event = new CustomEvent('benchreel:undone', { cancelable: true, detail: { step, message } });
  if (document.dispatchEvent(event)) {
    sayNext(message);
    location.reload();
  } else {
    say(message);
  }
}

/** A step that cannot be taken back can be left, so that undo goes on to the others. */
function refused(error) {
  if (error.code !== 'step_stays') return warn(error);
  const leave = async () => {
    try {
      const { message } = await send('POST', `/api/steps/${error.data.step}/leave`);
      document.getElementById('warn').replaceChildren();
      say(message);
    } catch (problem) {
      warn(problem);
    }
  };
  return warn(error, { name: 'Leave this step', act: leave });
}

async function take(step, body) {
  try {
    const { message } = await send('POST', `/api/${step}`, body);
    follow(step, message);
  } catch (error) {
    refused(error);
  }
}

/** Take back the step of that id and no other. */
export const takeBack = (id) => take('undo', { step_id: id });

/** Undo or redo (`step`) the last edit of a session or lesson. */
export const takeStep = (step, place) => take(step, place);

/** Elsewhere the last edit may be another window's: it is said by name, and taken back when that is wanted. */
async function askFirst(step, place) {
  try {
    const { next, message } = await get(`/api/${step}/next?${new URLSearchParams(place)}`);
    say(message, { undo: () => take(step, { step_id: next }), step: next, name: DO_IT[step] });
  } catch (error) {
    warn(error);
  }
}

/** `data-session`, `data-of-lesson` or `data-of-reed` say what the page is of. */
export function undoButtons(box) {
  const { session, ofLesson, ofReed } = box.dataset;
  const own = session ? { session_id: Number(session) } : ofLesson && { lesson_id: Number(ofLesson) };
  for (const button of box.querySelectorAll('[data-undo-step]')) {
    const step = button.dataset.undoStep;
    button.addEventListener('click', () => (own ? takeStep(step, own) : askFirst(step, ofReed ? { reed_id: ofReed } : {})));
  }
}
