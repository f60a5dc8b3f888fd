/** The dialog in which a clip is set against an earlier moment: one of its reed's, or any stretch of a recording. */

import { get } from '../api.js';
import { fine, parseClock } from '../model/clock.js';
import { span } from '../model/choices.js';
import { showEdge } from './edge_frames.js';

const one = (selector) => document.querySelector(selector);
const dialog = () => document.getElementById('before-choice');
const fields = () => ({ recording: one('#before-recording'), from: one('#before-from'), to: one('#before-to') });

const option = (value, text) => Object.assign(document.createElement('option'), { value, textContent: text });

function row(moment, number) {
  const label = document.createElement('label');
  label.className = 'choice-moment';
  const radio = Object.assign(document.createElement('input'), { type: 'radio', name: 'moment', value: String(number), className: 'choose' });
  const text = document.createElement('span');
  text.append(Object.assign(document.createElement('strong'), { textContent: moment.title }), document.createElement('br'), Object.assign(document.createElement('span'), { className: 'soft small', textContent: moment.where }));
  label.append(radio, text);
  const item = document.createElement('li');
  item.append(label);
  return item;
}

/** The chosen stretch, or a sentence that says what is wrong with it. */
function stretch(clip, recordings) {
  const { recording, from, to } = fields();
  const [start, end] = [parseClock(from.value), parseClock(to.value)];
  const found = recordings.find((each) => String(each.id) === recording.value);
  if (!found) return 'Choose a moment, or a recording.';
  if (start === null || end === null) return 'Write both times, for example 1:23.4.';
  if (end <= start) return 'It ends before it starts.';
  if (end > found.duration_ms) return `That recording ends at ${fine(found.duration_ms)}.`;
  if (found.id === clip.recording_id && start < clip.end_ms && clip.start_ms < end) return `The clip itself runs from ${span(clip.start_ms, clip.end_ms)} of this recording: choose another stretch.`;
  return { recording_id: found.id, start_ms: start, end_ms: end };
}

/** Resolves to what the clip, the `number`-th, is set against, or to null when it stays as it is. */
export async function chooseBefore(clip, number) {
  const asked = new URLSearchParams({ recording_id: clip.recording_id, start_ms: clip.start_ms, end_ms: clip.end_ms, tag_id: clip.tag_id ?? '' });
  const { moments, recordings, reed } = await get(`/api/lessons/earlier?${asked}`);
  const box = dialog();
  const form = one('[data-before-form]');
  const problem = one('[data-before-error]');
  const list = one('[data-before-list]');
  const filter = one('#before-filter');
  const { recording, from, to } = fields();

  const picture = () => {
    const found = stretch(clip, recordings);
    const known = typeof found === 'object' && recordings.find(({ id }) => id === found.recording_id);
    const canvas = one('[data-before-picture]');
    const isSeen = known && known.has_picture && !known.is_missing;
    canvas.classList.toggle('is-empty', !isSeen); // keeps its room: a button that moves under a press is not pressed
    if (isSeen) showEdge(canvas, { ...known, ...found }, 'start');
  };
  const put = (chosen) => {
    recording.value = String(chosen.recording_id);
    from.value = fine(chosen.start_ms);
    to.value = fine(chosen.end_ms);
    picture();
  };
  const narrow = () => {
    const words = filter.value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    [...list.children].forEach((item, place) => {
      item.hidden = !words.every((word) => `${moments[place].title} ${moments[place].where}`.toLowerCase().includes(word));
      count += item.hidden ? 0 : 1;
    });
    const none = reed ? `No tag, crow or playing of reed ${reed} lies before this clip. Give a stretch below.` : 'Which reed is in hand is not said. Give a stretch below.';
    one('[data-before-count]').textContent = moments.length ? `${count === 1 ? '1 moment' : `${count} moments`}, the newest first` : none;
  };

  one('#before-title').textContent = `Set clip ${number} against an earlier moment`;
  one('[data-before-reed]').textContent = reed ? `reed ${reed}` : 'its reed';
  problem.hidden = true;
  filter.value = '';
  list.replaceChildren(...moments.map(row));
  list.hidden = !moments.length;
  recording.replaceChildren(option('', 'not chosen'), ...recordings.map(({ id, name }) => option(String(id), name)));
  [from.value, to.value] = ['', ''];
  form.elements.is_beside.value = String(clip.before?.is_beside ?? true);
  one('[data-before-picture]').classList.add('is-empty');
  if (clip.before) put(clip.before);
  narrow();

  filter.oninput = narrow;
  list.onchange = ({ target }) => put(moments[Number(target.value)]);
  one('.choice-stretch').onchange = picture;
  box.querySelector('[data-close]').onclick = () => box.close('');
  return new Promise((resolve) => {
    let chosen = null;
    form.onsubmit = (event) => {
      event.preventDefault();
      const found = stretch(clip, recordings);
      problem.hidden = typeof found === 'object';
      problem.textContent = problem.hidden ? '' : found;
      if (!problem.hidden) return void problem.scrollIntoView({ block: 'nearest' });
      chosen = { ...found, is_beside: form.elements.is_beside.value === 'true' };
      box.close();
    };
    box.addEventListener('close', () => resolve(chosen), { once: true });
    box.showModal();
  });
}
