/** The rows of the diary: which one is in hand, which is spoken, which are marked. One of them is in the order of Tab. */

import { cardRow, rowAt } from '../model/diary_timeline.js';
import { covers } from '../model/diary_range.js';

const PAUSE_AFTER_SCROLL_MS = 4000; // who scrolls by hand wants to read, not to be pulled back

/** `root` holds the chapters, `tools` the buttons that come with the row in hand. */
export function diaryRows(root, tools, { onActive }) {
  const chapters = new Map();
  let active = null;
  let spoken = null;
  let marked = [];
  let scrolledAt = 0;
  for (const name of ['wheel', 'touchmove']) addEventListener(name, () => (scrolledAt = performance.now()), { passive: true });

  function read(section) {
    const recording = Number(section.dataset.recording);
    const rows = [...section.querySelectorAll('.diary-row')].map((element, at) => {
      const { start, end, kind, line } = element.dataset;
      const link = element.firstElementChild;
      link.tabIndex = -1;
      return { element, link, recording, at, start: Number(start), end: Number(end), kind, line: line ? Number(line) : null };
    });
    const chapter = { recording, section, rows, duration: Number(section.dataset.duration), instrument: section.dataset.instrument };
    chapters.set(recording, chapter);
    return chapter;
  }
  root.querySelectorAll('.diary-chapter').forEach(read);

  function at(recording, ms) {
    const { rows } = chapters.get(recording);
    return rows[rowAt(rows, ms)];
  }

  function ofCard(recording, start, end) {
    const { rows } = chapters.get(recording);
    return rows[cardRow(rows, start, end)];
  }

  function rowOf(element) {
    const found = element?.closest?.('.diary-row');
    if (!found) return null;
    const { rows } = chapters.get(Number(found.closest('.diary-chapter').dataset.recording));
    const likely = rows[rowAt(rows, Number(found.dataset.start))];
    return likely.element === found ? likely : rows.find((row) => row.element === found); // lines may start together
  }

  function setActive(row, { focus = false, scroll = false } = {}) {
    if (active !== row) {
      if (active) {
        active.link.tabIndex = -1;
        active.element.classList.remove('is-active');
      }
      active = row;
      row.link.tabIndex = 0;
      row.element.classList.add('is-active');
      row.element.append(tools);
      tools.hidden = false;
      for (const act of ['edit-line', 'lesson']) tools.querySelector(`[data-do="${act}"]`).hidden = !row.line;
      onActive(row);
    }
    if (focus) row.link.focus({ preventScroll: true });
    if (scroll || focus) row.element.scrollIntoView({ block: 'nearest' });
  }

  // The tools of the row in hand take room: while a button is pressed nothing may move away from under the finger.
  let isPressed = false;
  let pending = null;
  function release() {
    isPressed = false;
    if (pending) setActive(pending);
    pending = null;
  }
  root.addEventListener('mousedown', () => (isPressed = true), true);
  addEventListener('click', release, true);
  addEventListener('mouseup', () => setTimeout(release), true); // a press that ends as no click
  addEventListener('keydown', release, true);
  root.addEventListener('focusin', (event) => {
    const row = rowOf(event.target);
    if (isPressed) pending = row;
    else if (row) setActive(row);
  });

  return {
    chapters,
    at,
    ofCard,
    rowOf,
    setActive,
    get active() {
      return active;
    },
    /** Bring a row to the top of the page, under what holds `height` pixels of it. */
    showUnder(row, height) {
      scrollBy({ top: row.element.getBoundingClientRect().top - height, behavior: 'instant' });
    },
    /** Read a chapter anew whose HTML was replaced. */
    reread(section) {
      tools.hidden = true;
      active = null;
      spoken = null;
      return read(section);
    },
    /** The row some steps further, into the next recording at an end. */
    beside(row, step) {
      const { rows } = chapters.get(row.recording);
      if (rows[row.at + step]) return rows[row.at + step];
      const order = [...chapters.keys()];
      const next = chapters.get(order[order.indexOf(row.recording) + Math.sign(step)]);
      return next ? next.rows.at(step > 0 ? 0 : -1) : row;
    },
    /** Mark the row that is spoken now; bring it into view when `follow`. */
    speak(recording, ms, follow) {
      const row = at(recording, ms);
      if (row === spoken) return row;
      spoken?.element.removeAttribute('aria-current');
      spoken = row;
      row.element.setAttribute('aria-current', 'true');
      if (follow && performance.now() - scrolledAt > PAUSE_AFTER_SCROLL_MS) row.element.scrollIntoView({ block: 'center' });
      return row;
    },
    /** Show the stretch in the making, or none. */
    mark(range) {
      for (const row of marked) row.element.classList.remove('is-marked');
      marked = [];
      if (!range) return;
      const { rows } = chapters.get(range.recording);
      const start = range.start ?? range.end - 1;
      const end = range.end ?? range.start + 1;
      marked = rows.slice(rowAt(rows, start), rowAt(rows, end - 1) + 1).filter((row) => covers({ start, end }, row.start, row.end));
      for (const row of marked) row.element.classList.add('is-marked');
    },
  };
}
