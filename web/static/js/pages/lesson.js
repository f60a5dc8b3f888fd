/** The page of one lesson: clips, preview, frame, export. */

import { get } from '../api.js';
import { unshown } from '../model/choices.js';
import { lengthsOf } from '../model/clips.js';
import { clipChoices } from '../ui/clip_choices.js';
import { clipList } from '../ui/clip_list.js';
import { drafter } from '../ui/draft.js';
import { exporter } from '../ui/export.js';
import { film } from '../ui/film.js';
import { preview } from '../ui/preview.js';
import { saveForm } from '../ui/save_form.js';
import { say, warn } from '../ui/say.js';
import { showing } from '../ui/showing.js';

const one = (selector) => document.querySelector(selector);
const { lesson: id } = one('[data-lesson]').dataset;
const list = one('[data-clips]');

const player = preview(one('[data-preview]'), {
  said: (text) => { one('[data-preview-said]').textContent = text; },
  at: (place) => [...list.children].forEach((row, number) => row.classList.toggle('is-playing', number === place)),
  take: (place, ms) => each.takePicture(place, ms),
});

const exports = exporter(id);

/** Everything outside the list that follows from the lesson. */
function shown(lesson) {
  one('[data-lesson-title]').textContent = lesson.title;
  one('[data-lesson-length]').textContent = lengthsOf(lesson);
  one('[data-version]').value = lesson.version;
  one('[data-cautions]').replaceChildren(
    ...lesson.cautions.map((text) => Object.assign(document.createElement('p'), { className: 'caution', textContent: text })),
  );
  one('[data-cautions-box]').hidden = lesson.cautions.length === 0;
  player.load(lesson.clips, lesson.showing);
  one('[data-preview-unshown]').textContent = unshown(lesson);
  one('[data-preview-unshown]').hidden = !unshown(lesson);
  exports.isOf(lesson.version);
  choices.show(lesson);
  each.show(lesson);
}

const clips = clipList(list, { play: player.play, shown });
const choices = showing(one('[data-showing]'), clips);
drafter(one('[data-draft]'), one('[data-frame]'), clips);
const each = clipChoices(list, { set: clips.set, cover: clips.cover, reload: () => load(), lessonId: id });
const load = async () => clips.show((await get(`/api/lessons/${id}`)).lesson);

saveForm(one('[data-frame]'), ({ lesson, message }) => {
  clips.show(lesson);
  say(message);
});
film();
load().catch(warn);
