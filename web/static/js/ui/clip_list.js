/** The clips of a lesson: shown, ordered, trimmed, titled, removed; each change is saved at once. */

import { get, send } from '../api.js';
import { edgeFault } from '../model/clip_fault.js';
import { bare, changed, covered, moved, nextEdge, without } from '../model/clips.js';
import { accept, EDGES, refuse } from './clip_edge.js';
import { clipRow, fillClip } from './clip_row.js';
import { askWhich } from './conflict.js';
import { say, warn } from './say.js';
import { takeBack } from './undo.js';

/** `play(place, isJoint)` plays; `shown(lesson)` hears of every new state. */
export function clipList(list, { play, shown }) {
  const edges = new Map();
  let lesson;
  let saving = Promise.resolve();

  const placeOf = (row) => [...list.children].indexOf(row);

  const show = (next) => {
    lesson = next;
    while (list.children.length > next.clips.length) list.lastElementChild.remove();
    while (list.children.length < next.clips.length) list.append(clipRow(hear));
    next.clips.forEach((clip, place) => fillClip(list.children[place], clip, place, next.clips.length));
    document.querySelector('[data-clips-empty]').hidden = next.clips.length > 0;
    shown(next);
  };

  /** Save what `change(clips)` gives; `arrange` brings the rows in the same order; `failed` hears why not. */
  const save = (change, { said, undo, arrange = () => {}, failed = warn } = {}) => {
    saving = saving.then(async () => {
      try {
        const clips = change(lesson.clips);
        if (clips === lesson.clips) return;
        const answer = await put(lesson.id, lesson.version, clips);
        arrange();
        show(answer.lesson);
        say(said ?? answer.message, undo ? { undo: takeBack, step: answer.step } : {});
      } catch (error) {
        failed(error);
      }
    });
    return saving;
  };

  /** Send another change of the lesson after what is being saved: `make(lesson)` gives the server's answer. */
  const queue = (make, failed = warn) => {
    saving = saving.then(async () => {
      try {
        const answer = await make(lesson);
        show(answer.lesson);
        say(answer.message);
      } catch (error) {
        failed(error);
      }
    });
    return saving;
  };

  function hear(row, { values, edge, trim, snap, act }) {
    if (values) save((clips) => changed(clips, placeOf(row), values));
    if (trim) trimTo(row, edge, trim);
    if (snap) snapTo(row, edge, snap).catch((error) => refuse(row, edge, error.message));
    if (act === 'play' || act === 'joint') play(placeOf(row), act === 'joint');
    if (act === 'remove') remove(row);
    if (act === 'up' || act === 'down') move(row, act === 'up' ? -1 : 1);
  }

  /** Trim a clip to what `trim(clip)` gives; a fault is told beside the `edge` that was changed. */
  function trimTo(row, edge, trim) {
    const change = (clips) => {
      const place = placeOf(row);
      const next = changed(clips, place, trim(clips[place]));
      const fault = edgeFault(next, place, edge);
      if (fault) throw new Error(fault);
      if (!Object.values(EDGES).some((key) => next[place][key] !== clips[place][key])) {
        accept(row);
        fillClip(row, clips[place], place, clips.length);
        return clips;
      }
      return next;
    };
    return save(change, { arrange: () => accept(row), failed: (error) => refuse(row, edge, error.message) });
  }

  /** Move an edge to where the word or sound before or after it begins (the start) or ends (the end). */
  async function snapTo(row, edge, way) {
    const id = row.clip.recording_id;
    edges.set(id, edges.get(id) ?? (await get(`/api/recordings/${id}/edges`)));
    const key = EDGES[edge];
    await trimTo(row, edge, (clip) => {
      const found = nextEdge(edges.get(id)[edge === 'start' ? 'starts' : 'ends'], clip[key], way);
      if (found === clip[key]) throw new Error(`No word or sound ${edge === 'start' ? 'begins' : 'ends'} ${way < 0 ? 'before' : 'after'} this in the recording.`);
      return { [key]: found };
    });
  }

  async function move(row, by) {
    const target = placeOf(row) + by;
    const arrange = () => (by < 0 ? row.previousElementSibling.before(row) : row.nextElementSibling.after(row));
    await save((clips) => moved(clips, placeOf(row), by), { said: `Clip ${target - by + 1} is now clip ${target + 1}.`, arrange });
    row.querySelector(`[data-act="${by < 0 ? 'up' : 'down'}"]`).focus();
    row.scrollIntoView({ block: 'nearest' });
  }

  /** The focus goes to the clip that comes up in its place, else to the last, else to what adds clips. */
  async function remove(row) {
    const place = placeOf(row);
    await save((clips) => without(clips, placeOf(row)), { undo: true, arrange: () => row.remove() });
    if (row.isConnected) return;
    const next = list.children[Math.min(place, list.children.length - 1)];
    (next?.querySelector('[data-act="remove"]') ?? document.querySelector('[data-add-clips]')).focus();
  }

  /** Save values of the clip of a row. */
  const set = (row, values) => save((clips) => changed(clips, placeOf(row), values));

  /** Make the picture of the clip of a row the cover; null: that of the first clip again. */
  const cover = (row) => save((clips) => covered(clips, row ? placeOf(row) : null));

  return { show, queue, set, cover };
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
