/** How each clip is shown: its own speed, what it is set against, its picture, its export alone, its lost file. */

import { shortened, toldOf } from '../model/choices.js';
import { coverPlace } from '../model/clips.js';
import { fine } from '../model/clock.js';
import { chooseBefore } from './before_choice.js';
import { lookFor } from './look_for.js';
import { say, warn } from './say.js';
import { cancelClip, exportClip, showAlone } from './single_clip.js';
import { chooseStill } from './still_choice.js';

const AUTOMATIC = 'Automatic: the sharpest picture in which little moves.';
const COVER = ' It is also the cover.';

/** `set(row, values)` saves values of a clip, `cover(row)` whose picture is the cover; `reload()` shows the lesson anew. */
export function clipChoices(list, { set, cover, reload, lessonId }) {
  const numberOf = (row) => [...list.children].indexOf(row) + 1;

  const acts = {
    before: async (row) => {
      const before = await chooseBefore(row.clip, numberOf(row));
      if (before) await set(row, { before });
    },
    alone: (row) => set(row, { before: null }),
    still: async (row) => {
      const still = await chooseStill(row.clip, numberOf(row));
      if (still !== null) await set(row, { still_ms: still });
    },
    automatic: (row) => set(row, { still_ms: null }),
    cover: (row) => cover(row),
    uncover: () => cover(null),
    export: (row) => exportClip(row, lessonId, numberOf(row), reload),
    cancel: (row) => cancelClip(row),
  };

  list.addEventListener('click', ({ target }) => {
    const button = target.closest('[data-choose]');
    if (!button) return;
    const row = button.closest('[data-clip]');
    Promise.resolve(acts[button.dataset.choose](row))
      .then(() => { if (button.hidden) row.querySelector(`[data-choose="${button.dataset.choose === 'alone' ? 'before' : 'still'}"]`).focus(); })
      .catch(warn);
  });

  list.addEventListener('change', ({ target }) => {
    const { choice } = target.dataset;
    const row = target.closest('[data-clip]');
    if (choice === 'scraping_speed') set(row, { scraping_speed: target.value === '' ? null : Number(target.value) });
    if (choice === 'is_beside') set(row, { before: { ...row.clip.before, is_beside: target.value === 'true' } });
  });

  return {
    /** Bring every row up to date with the lesson. */
    show(lesson) {
      const covers = coverPlace(lesson.clips);
      lesson.clips.forEach((clip, place) => fill(list.children[place], clip, { place, isCover: place === covers, reload }));
    },
    /** Take the picture that the preview holds for its clip. */
    takePicture(place, ms) {
      const row = list.children[place];
      if (row) set(row, { still_ms: ms }).then(() => say(`The picture at ${fine(ms)} stands for clip ${place + 1} now.`));
    },
  };
}

function fill(row, clip, { place, isCover, reload }) {
  const part = (name) => row.querySelector(`[data-${name}]`);
  const told = [...toldOf(clip), shortened(clip)].filter(Boolean).join(' ');
  part('choice-told').textContent = told;
  part('choice-told').hidden = !told;
  part('before-told').textContent = clip.before ? `${clip.before_told?.text ?? ''}` : 'Nothing. It stands alone.';
  part('before-how').hidden = !clip.before;
  row.querySelector('[data-choose="alone"]').hidden = !clip.before;
  part('still-box').hidden = clip.has_picture === false;
  const isOwn = Number.isInteger(clip.still_ms);
  part('still-told').textContent = (isOwn ? `The picture at ${fine(clip.still_ms)}.` : AUTOMATIC) + (isCover ? COVER : '');
  row.querySelector('[data-choose="automatic"]').hidden = !isOwn;
  row.querySelector('[data-choose="cover"]').hidden = isCover;
  row.querySelector('[data-choose="uncover"]').hidden = !(isCover && clip.is_cover && place > 0);
  row.querySelector('[data-choose="still"]').disabled = clip.is_missing || !clip.stills?.length;
  row.querySelector('[data-choose="export"]').disabled = clip.is_missing || Boolean(clip.before_told?.is_missing);
  row.querySelector('[data-choice="scraping_speed"]').value = String(clip.scraping_speed ?? '');
  row.querySelector('[data-choice="is_beside"]').value = String(clip.before?.is_beside ?? true);
  fillLook(row, clip, reload);
  showAlone(row, clip, reload);
  nameAll(row, place);
}

function fillLook(row, clip, reload) {
  const form = row.querySelector('[data-look]');
  const isOfBefore = !clip.is_missing && clip.before_told?.is_missing && clip.before_told.name;
  form.hidden = !((clip.is_missing && !clip.is_removed) || isOfBefore);
  const name = isOfBefore ? clip.before_told.name : clip.name;
  row.querySelector('[data-look-name]').textContent = `Look for ${name} in this folder, and in all that is in it`;
  Object.assign(form.dataset, { recording: String(isOfBefore ? clip.before.recording_id : clip.recording_id), name });
  if (form.dataset.ready) return;
  form.dataset.ready = 'true';
  lookFor(form, () => ({ id: form.dataset.recording, name: form.dataset.name }), reload);
}

/** Every field has a label of its own, and every name says of which clip it is. */
function nameAll(row, place) {
  row.dataset.key ||= `choice-${crypto.getRandomValues(new Uint32Array(1))[0]}`;
  for (const field of row.querySelectorAll('[data-id]')) {
    field.id ||= `${row.dataset.key}-${field.dataset.id}`;
    row.querySelector(`[data-for="${field.dataset.id}"]`).htmlFor = field.id;
    field.setAttribute('aria-description', `Clip ${place + 1}`);
  }
  for (const group of row.querySelectorAll('[data-group]')) group.setAttribute('aria-label', `${group.dataset.group}, clip ${place + 1}`);
  for (const button of row.querySelectorAll('[data-choose], [data-named]')) button.setAttribute('aria-label', `${button.textContent.trim()}, clip ${place + 1}`);
}
