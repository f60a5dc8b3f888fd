/** Words in the lines: a click finds the word's moment, a selection its stretch, playing shows the word. */

import { momentAt, wordAt, wordPlaces } from '../model/diary_timeline.js';
import { get } from '../api.js';

const SPOKEN = globalThis.Highlight ? new Highlight() : null;
if (SPOKEN) CSS.highlights.set('spoken', SPOKEN);

/** The character of a line's text at a point of the page, or -1. */
function characterAt(x, y, paragraph) {
  const place = document.caretPositionFromPoint?.(x, y);
  const range = place ? null : document.caretRangeFromPoint?.(x, y);
  const node = place?.offsetNode ?? range?.startContainer;
  return node && paragraph.contains(node) ? (place?.offset ?? range.startOffset) : -1;
}

export function diaryText(rows) {
  const words = new Map(); // recording -> promise of {line: words}
  let shown = null;

  const wordsOf = (recording) => {
    if (!words.has(recording)) words.set(recording, get(`/api/recordings/${recording}/words`).catch(() => ({})));
    return words.get(recording);
  };
  const textOf = (row) => row.element.querySelector('.diary-text');

  async function placesOf(row) {
    const all = await wordsOf(row.recording);
    return wordPlaces(textOf(row).textContent, all[row.line] ?? []);
  }

  return {
    wordsOf,
    /** Forget the words of a recording, or of one line of it, after a change. */
    async forget(recording, line, changed) {
      if (!line) return words.delete(recording);
      if (words.has(recording)) (await words.get(recording))[line] = changed;
    },
    /** The moment of the word at a point, or the start of its row. */
    async momentAtPoint(row, x, y) {
      const paragraph = row.line && textOf(row);
      const character = paragraph ? characterAt(x, y, paragraph) : -1;
      if (character < 0) return row.start;
      return momentAt(await placesOf(row), character) ?? row.start;
    },
    /** The stretch of the words that are selected on the page, or null. */
    async selected() {
      const selection = getSelection();
      if (!selection.rangeCount || selection.isCollapsed) return null;
      const range = selection.getRangeAt(0);
      const first = rows.rowOf(range.startContainer.parentElement);
      const last = rows.rowOf(range.endContainer.parentElement);
      if (!first?.line || !last || first.recording !== last.recording) return null;
      const start = momentAt(await placesOf(first), range.startOffset + 1) ?? first.start;
      const places = last.line ? await placesOf(last) : [];
      const ended = places.filter(([from]) => from < range.endOffset).at(-1);
      const end = ended ? ended[3] : last.end;
      return end > start ? { recording: first.recording, start, end } : null;
    },
    /** Show the word that is spoken. */
    async speak(row, ms) {
      if (!SPOKEN || !row.line) return SPOKEN?.clear();
      const all = await wordsOf(row.recording);
      const at = wordAt(all[row.line] ?? [], ms);
      const key = `${row.line} ${at}`;
      if (key === shown) return undefined;
      shown = key;
      SPOKEN.clear();
      if (at < 0) return undefined;
      const node = textOf(row)?.firstChild;
      const place = (await placesOf(row)).find(([, , start]) => start === all[row.line][at][0]);
      if (!node || !place) return undefined;
      const range = new StaticRange({ startContainer: node, startOffset: place[0], endContainer: node, endOffset: place[1] });
      SPOKEN.add(range);
      return undefined;
    },
  };
}
