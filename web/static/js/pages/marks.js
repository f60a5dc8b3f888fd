/** Wires the page used while filming: each press leaves a mark. */

import { send } from '../api.js';
import { placed } from '../model/marks_place.js';
import { marksLay } from '../ui/marks_lay.js';
import { removeButton } from '../ui/remove.js';
import { warn } from '../ui/say.js';

const bench = document.querySelector('[data-bench]');
const last = document.querySelector('[data-last]');
const list = document.querySelector('[data-marks]');
const CLAP = 'clap';
const PEDAL = [' ', 'Enter', 'PageDown', 'PageUp'];
let mark = null; // the newest mark of this page
let step = null;
let waiting = Promise.resolve(); // presses are sent one after the other, in their order

const ordered = (what) => {
  waiting = waiting.then(what).catch(warn);
  return waiting;
};

function show({ mark: stored, told }) {
  mark = stored;
  const at = new Date(stored.made_at).toLocaleTimeString([], { hourCycle: 'h23' });
  last.textContent = `${at}: ${told}`;
  for (const kind of ['zone', 'blade', 'side']) {
    for (const button of bench.querySelectorAll(`[data-${kind}]`)) {
      const id = button.dataset[kind];
      button.setAttribute('aria-pressed', String(kind === 'zone' ? mark.zones.includes(id) : mark[kind] === id));
    }
  }
  let item = list.querySelector(`[data-mark="${mark.id}"]`);
  if (!item) {
    item = document.createElement('li');
    item.dataset.mark = mark.id;
    const remove = Object.assign(document.createElement('button'), { type: 'button', className: 'button is-small is-quiet', textContent: 'Remove' });
    remove.dataset.remove = `/api/marks/${mark.id}`;
    removeButton(remove);
    item.append(Object.assign(document.createElement('span'), { className: 'number', textContent: at }), document.createElement('span'), remove);
    list.prepend(item);
  }
  item.children[1].textContent = told;
  item.children[2].setAttribute('aria-label', `Remove the mark ${told}`);
}

/** A clap is no step: the pedal goes on with the step before it. */
function press(id) {
  if (id !== CLAP) step = id;
  for (const button of bench.querySelectorAll('[data-step]')) button.classList.toggle('is-current', button.dataset.step === step);
  const reed = bench.dataset.reed ? Number(bench.dataset.reed) : null;
  return ordered(async () => show(await send('POST', '/api/marks', { step: id, reed_id: reed })));
}

bench.addEventListener('click', (event) => {
  if (event.detail) document.activeElement.blur(); // after a finger's press the pedal's key must not press it again
  const { step: pressed, clap, zone, blade, side } = event.target.closest('button')?.dataset ?? {};
  if (clap !== undefined) return press(CLAP);
  if (pressed) return press(pressed);
  const [kind, id] = zone ? ['zone', zone] : blade ? ['blade', blade] : ['side', side];
  if (!id) return undefined;
  return ordered(async () => {
    if (!mark || mark.step === CLAP) throw new Error('A place belongs to a step. Press a step first.');
    const { zones, blade: onBlade, side: onSide } = placed(mark, kind, id);
    show(await send('PUT', `/api/marks/${mark.id}`, { zones, blade: onBlade, side: onSide, version: mark.version }));
  });
});

document.addEventListener('keydown', (event) => {
  const isFree = !event.target.closest('input, select, a, button') || event.target.closest('[data-step]');
  if (!isFree || event.repeat || !PEDAL.includes(event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  press(event.target.dataset?.step ?? step ?? CLAP); // before the first step the pedal marks the clap
});

for (const place of document.querySelectorAll('[data-clock]')) place.textContent = new Date(place.dataset.clock).toLocaleString([], { hourCycle: 'h23' });
document.querySelectorAll('[data-lay]').forEach(marksLay);
