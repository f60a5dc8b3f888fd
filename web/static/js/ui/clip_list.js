/** The clips of a lesson: shown, ordered, trimmed, titled, removed; each change is saved at once. */

import { get, send } from '../api.js';
import { bare, changed, moved, nextEdge, without } from '../model/clips.js';
import { clipRow, fillClip } from './clip_row.js';
import { askWhich } from './conflict.js';
import { say } from './say.js';
import { takeStep } from './undo.js';

/** `play(place, isJoint)` plays; `shown(lesson)` hears of every new state. */
export function clipList(list, { play, shown }) {
  const problem = document.querySelector('[data-clips-error]');
  const edges = new Map();
  let lesson;
  let saving = Promise.resolve();

  const showProblem = (text) => {
    problem.textContent = text;
    problem.hidden = !text;
  };

  const show = (next) => {
    lesson = next;
    while (list.children.length > next.clips.length) list.lastElementChild.remove();
    while (list.children.length < next.clips.length) list.append(clipRow(hear));
    next.clips.forEach((clip, place) => fillClip(list.children[place], clip, place, next.clips.length));
    document.querySelector('[data-clips-empty]').hidden = next.clips.length > 0;
    shown(next);
  };

  const save = (change, { said, undo } = {}) => {
    saving = saving.then(async () => {
      try {
        const clips = change(lesson.clips);
        if (clips === lesson.clips) return;
        show((await put(lesson.id, lesson.version, clips)).lesson);
        showProblem('');
        if (said) say(said, undo ? { undo: () => takeStep('undo') } : {});
      } catch (error) {
        showProblem(error.message);
        show(lesson);
      }
    });
    return saving;
  };

  function hear(row, { values, snap, act, problem: text }) {
    const place = [...list.children].indexOf(row);
    if (text) showProblem(text);
    if (values) save((clips) => changed(clips, place, values));
    if (snap) snapTo(place, row.clip, snap);
    if (act === 'play' || act === 'joint') play(place, act === 'joint');
    if (act === 'remove') save((clips) => without(clips, place), { said: `Clip ${place + 1} is removed.`, undo: true });
    if (act === 'up' || act === 'down') move(place, act === 'up' ? -1 : 1);
  }

  /** Move an edge to where the word or sound before or after it begins (the start) or ends (the end). */
  async function snapTo(place, clip, { edge, way }) {
    edges.set(clip.recording_id, edges.get(clip.recording_id) ?? (await get(`/api/recordings/${clip.recording_id}/edges`)));
    const key = edge === 'start' ? 'start_ms' : 'end_ms';
    const found = nextEdge(edges.get(clip.recording_id)[edge === 'start' ? 'starts' : 'ends'], clip[key], way);
    await save((clips) => (found === clip[key] ? clips : changed(clips, place, { [key]: found })));
  }

  async function move(place, by) {
    const target = place + by;
    if (target < 0 || target >= lesson.clips.length) return;
    await save((clips) => moved(clips, place, by), { said: `Clip ${place + 1} is now clip ${target + 1}.` });
    list.children[target].querySelector(`[data-act="${by < 0 ? 'up' : 'down'}"]`).focus();
  }

  return { show };
}

async function put(id, version, clips) {
  try {
    return await send('PUT', `/api/lessons/${id}/clips`, { version, clips: clips.map(bare) });
  } catch (error) {
    if (error.code !== 'changed_elsewhere') throw error;
    const choice = await askWhich(error.data);
    if (choice === 'yours') return put(id, error.data.theirs.version, clips);
    if (choice === 'theirs') location.reload();
    throw error;
  }
}
