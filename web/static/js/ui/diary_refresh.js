/** Brings an open page in step with the library: after undo, and when another window has written. */

import { get } from '../api.js';

const ADDRESSES = { tag: '/api/tags', reading: '/api/diary/readings', correction: '/api/corrections', suggestion: '/api/suggestions', recap: '/api/suggestions' };

export function diaryRefresh(session, { rows, cards, text, edge, warm, onNow }) {
  const windows = new BroadcastChannel('benchreel-diary');
  windows.addEventListener('message', ({ data }) => data === session && now());

  async function bringCards(kind, versions) {
    const gone = cards.of(kind).filter(({ id }) => !(id in versions));
    for (const { id } of gone) cards.remove(kind, id);
    const changed = Object.entries(versions).filter(([id, version]) => cards.get(kind, id)?.value.version !== version);
    const answers = await Promise.all(changed.map(([id]) => get(`${ADDRESSES[kind]}/${id}`)));
    answers.forEach((answer) => cards.put(answer));
    if (kind === 'recap') await retold([...gone, ...answers]);
  }

  /** The tags on this page that recaps tell again say so, or no longer do. */
  async function retold(recaps) {
    const tags = [...new Set(recaps.map(({ value }) => value.content.tag_id))].filter((id) => cards.get('tag', id));
    for (const id of tags) cards.put(await get(`${ADDRESSES.tag}/${id}`));
  }

  async function bringLines(versions) {
    for (const chapter of rows.chapters.values()) {
      for (const row of chapter.rows) {
        if (!row.line || String(versions[row.line]) === row.element.dataset.version) continue;
        if (!(row.line in versions)) {
          await chapterAnew(chapter.recording);
          break;
        }
        const { value } = await get(`/api/lines/${row.line}`);
        row.element.querySelector('.diary-text').textContent = value.text;
        row.element.dataset.version = value.version;
        text.forget(value.recording_id, value.id, value.words);
      }
    }
  }

  /** Lines that are not on the page yet: a transcript was brought in, or its undoing was undone. */
  async function bringNewLines(versions) {
    const shown = new Set([...rows.chapters.values()].flatMap((chapter) => chapter.rows.map((row) => row.line)));
    if (Object.keys(versions).every((id) => shown.has(Number(id)))) return;
    for (const recording of rows.chapters.keys()) await chapterAnew(recording);
  }

  /** Recordings whose reed, language or name has changed. */
  async function bringRecordings(versions) {
    for (const { recording, section } of [...rows.chapters.values()]) {
      if (recording in versions && String(versions[recording]) !== section.dataset.version) await chapterAnew(recording);
    }
  }

  const waiting = new Set(); // recordings in which a line is being written: what stands in its field is not thrown away

  async function chapterAnew(recording) {
    if (rows.chapters.get(recording).section.querySelector('.diary-line-edit')) {
      waiting.add(recording);
      return;
    }
    waiting.delete(recording);
    const { html } = await get(`/api/sessions/${session}/chapters/${recording}`);
    const template = document.createElement('template');
    template.innerHTML = html;
    const section = template.content.querySelector('.diary-chapter');
    const tools = document.querySelector('[data-row-tools]');
    document.body.append(tools);
    rows.chapters.get(recording).section.replaceWith(section);
    rows.reread(section);
    cards.reread(section, recording);
    text.forget(recording);
    edge.watch(section);
  }

  async function now() {
    const marks = await get(`/api/sessions/${session}/marks`);
    for (const kind of Object.keys(ADDRESSES)) await bringCards(kind, marks[kind]);
    await bringLines(marks.line);
    await bringNewLines(marks.line);
    await bringRecordings(marks.recording);
    warm(marks.heats);
    onNow();
  }

  /** A line is no longer written: the chapters that waited for it are brought in step. */
  async function late() {
    for (const recording of [...waiting]) await chapterAnew(recording);
  }

  return { now, late, retold, chapter: chapterAnew, tellOthers: () => windows.postMessage(session) };
}
