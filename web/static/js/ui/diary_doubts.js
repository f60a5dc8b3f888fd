/** Doubtful words: marked on the line, with the reason and three answers below it. Nothing changes without one. */

import { get, send } from '../api.js';
import { say, warn } from './say.js';

const SOON_MS = 1000;
const MARK = globalThis.Highlight ? new Highlight() : null;
if (MARK) CSS.highlights.set('doubtful', MARK);

const make = (tag, className, text = '') => Object.assign(document.createElement(tag), { className, textContent: text });

function answer(name, text, what) {
  const button = make('button', 'button is-small', text);
  button.type = 'button';
  button.dataset.doubtDo = name;
  button.append(make('span', 'only-read', `: ${what}`));
  return button;
}

function boxOf(doubt, alike) {
  const box = make('div', 'diary-doubt');
  box.append(make('strong', '', `“${doubt.heard}”: “${doubt.proposed}”?`), ` ${doubt.reason} `);
  const what = `${doubt.proposed} for ${doubt.heard}`;
  box.append(answer('accept', 'Accept', what), ' ');
  if (alike > 1) box.append(answer('alike', `Accept all ${alike}`, what), ' ');
  box.append(answer('leave', 'Leave it', doubt.heard));
  return box;
}

/** `onChanged()` brings the lines of the page in step; `undo` takes a step back. */
export function diaryDoubts(bar, { rows, session, onChanged, undo }) {
  let found = []; // [{doubt, row, box}] in order
  const rowOfLine = ({ recording_id: recording, line_id: line }) => rows.chapters.get(recording)?.rows.find((row) => row.line === line);
  const likeIt = (doubt) => found.filter((one) => one.doubt.heard.toLowerCase() === doubt.heard.toLowerCase() && one.doubt.proposed === doubt.proposed);

  function clear() {
    for (const { box } of found) {
      const holder = box.parentElement;
      box.remove();
      if (holder && !holder.children.length) holder.remove();
    }
    found = [];
    MARK?.clear();
  }

  function put(one, count) {
    const { doubt, row } = one;
    const text = row.element.querySelector('.diary-text');
    let holder = row.element.querySelector('.diary-sounds');
    if (!holder) {
      holder = make('div', 'diary-sounds');
      text.after(holder);
    }
    one.box = boxOf(doubt, count);
    holder.append(one.box);
    const node = text.firstChild;
    if (MARK && node && doubt.to <= node.length) MARK.add(new StaticRange({ startContainer: node, startOffset: doubt.from, endContainer: node, endOffset: doubt.to }));
  }

  const told = () => (found.length === 1 ? '1 doubtful word' : `${found.length} doubtful words`);

  let wanted = 0;
  let isStale = true; // what is doubtful has still to be looked for
  async function load() {
    clearTimeout(wanted);
    isStale = true;
    const { doubts } = await get(`/api/sessions/${session}/doubts`);
    clear();
    found = doubts.map((doubt) => ({ doubt, row: rowOfLine(doubt) })).filter(({ row, doubt }) => row && row.element.dataset.version === String(doubt.version));
    for (const one of found) put(one, likeIt(one.doubt).length);
    isStale = false;
    bar.hidden = found.length === 0;
    bar.querySelector('[data-doubts-count]').textContent = told();
  }

  /** Soon, once for several changes in a row: in a long session it keeps the program from answering the next one. */
  function quietly() {
    clearTimeout(wanted);
    isStale = true;
    wanted = setTimeout(() => load().catch(() => clear()), SOON_MS); // without them the diary says the same
  }

  async function next(after = rows.active) {
    if (isStale && !found.length) {
      say('Doubtful words are being looked for …');
      await load().catch(clear);
      if (found.length) say(told());
    }
    const isAfter = ({ row }) => !after || row.recording > after.recording || (row.recording === after.recording && row.start > after.start);
    const one = found.find(isAfter) ?? found[0];
    if (one) rows.setActive(one.row, { focus: true });
    else say('There is no doubtful word left.');
  }

  const ways = {
    accept: ({ line_id: line, version, first, last, heard, proposed }) => send('POST', `/api/lines/${line}/doubts/accept`, { version, first, last, heard, proposed }),
    alike: ({ heard, proposed }) => send('POST', `/api/sessions/${session}/doubts/accept`, { heard, proposed }),
    leave: ({ line_id: line, heard, proposed }) => send('POST', `/api/lines/${line}/doubts/leave`, { heard, proposed }),
  };

  async function decide(one, name) {
    const { doubt } = one;
    try {
      const { message, step } = await ways[name](doubt);
      if (name !== 'leave') await onChanged();
      await load();
      say(message, { undo, step });
      if (found.length && !found.some(({ row }) => row === rows.active)) next(one.row);
      else rows.active?.link.focus({ preventScroll: true });
    } catch (error) {
      warn(error);
    }
  }

  document.addEventListener('click', (event) => {
    const button = event.target.closest('[data-doubt-do]');
    const one = button && found.find(({ box }) => box.contains(button));
    if (one) decide(one, button.dataset.doubtDo);
  });

  const onHand = (name) => () => {
    const one = found.find(({ row }) => row === rows.active);
    if (one) decide(one, name);
    else next();
  };
  quietly();
  return { load: quietly, next: () => next(), accept: onHand('accept'), alike: onHand('alike'), leave: onHand('leave') };
}
